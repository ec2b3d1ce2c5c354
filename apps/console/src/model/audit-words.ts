/** An entry's short word as people read it: `person-changed` is `person changed`. */
export function auditWords(what: string): string {
  return what.replaceAll('-', ' ');
}
