/** Changes to another page as a link would, without loading anew. */
export function goTo(path: string): void {
  history.pushState(null, '', path);
  dispatchEvent(new PopStateEvent('popstate'));
}
