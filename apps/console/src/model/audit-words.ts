/** An entry's short word as people read it: `person-changed` is `person changed`. */
export function auditWords(what: string): string {
  return what.replaceAll('-', ' ');
}

/** Which entries a page holds: `No entries.`, `200 entries, from 24 Nov 14:02 back to 23 Nov 09:15; page 2.` */
export function pageWords(
  entries: readonly { readonly atMs: number }[],
  pagesBefore: number,
  since: (atMs: number) => string,
): string {
  const [newest] = entries;
  const oldest = entries.at(-1);
  if (newest === undefined || oldest === undefined) return 'No entries.';
  const count = entries.length === 1 ? '1 entry' : `${entries.length} entries`;
  const span =
    entries.length === 1
      ? `of ${since(newest.atMs)}`
      : `from ${since(newest.atMs)} back to ${since(oldest.atMs)}`;
  return `${count}, ${span}${pagesBefore === 0 ? '' : `; page ${pagesBefore + 1}`}.`;
}
