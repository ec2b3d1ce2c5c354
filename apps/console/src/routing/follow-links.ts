import { routeOf } from './route.js';

/**
 * Lets links between the pages change the address without loading anew. Only plain clicks on our own pages are taken: new tabs, other
 * targets and the service's own addresses work as the browser does them.
 */
export function followLinks(onPath: (path: string) => void): void {
  document.addEventListener('click', (event) => {
    if (
      event.defaultPrevented ||
      event.button !== 0 ||
      event.metaKey ||
      event.ctrlKey ||
      event.shiftKey ||
      event.altKey
    )
      return;
    const link = event.target instanceof Element ? event.target.closest('a') : null;
    if (link === null || link.target !== '' || link.origin !== location.origin || !isPage(link)) return;
    event.preventDefault();
    if (link.pathname !== location.pathname) history.pushState(null, '', link.pathname);
    onPath(link.pathname);
  });
  addEventListener('popstate', () => onPath(location.pathname));
}

function isPage(link: HTMLAnchorElement): boolean {
  return link.hash === '' && routeOf(link.pathname).page !== 'unknown';
}
