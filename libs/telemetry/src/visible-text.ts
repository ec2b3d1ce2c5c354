/** Control, format (among them the ones that turn the direction of writing round), surrogate, private and unassigned characters. */
const invisible = /[\p{C}\u2028\u2029]/gu;
const named: Readonly<Record<string, string>> = { '\n': '\\n', '\r': '\\r', '\t': '\\t' };

/** Text that shows every character it holds: what cannot be seen is written as `\n`, `\r`, `\t` or `\u{...}`. */
export function visibleText(text: string): string {
  return text.replaceAll(
    invisible,
    (character) => named[character] ?? `\\u{${character.codePointAt(0)?.toString(16) ?? ''}}`,
  );
}

/** Whether the text holds a character that cannot be seen. */
export function hasInvisible(text: string): boolean {
  return text.search(invisible) >= 0;
}

/** Text cut to `most` characters, the last of them an ellipsis where something was left out. */
export function shortened(text: string, most: number): string {
  return text.length <= most ? text : `${text.slice(0, most - 1)}…`;
}

/** A JSON value as it is quoted in a reason: short, and one line. */
export function shownValue(value: unknown): string {
  if (typeof value === 'string') return shortened(`"${visibleText(value.slice(0, 60))}"`, 40);
  if (Array.isArray(value)) return `a list of ${value.length}`;
  if (typeof value === 'object' && value !== null) return 'an object';
  return String(value);
}
