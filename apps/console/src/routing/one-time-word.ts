/** The one-time word of an address fragment such as `#word=abc`; the empty string where it holds none. A fragment is never sent to a server. */
export function wordOf(fragment: string): string {
  return new URLSearchParams(fragment.replace(/^#/, '')).get('word') ?? '';
}
