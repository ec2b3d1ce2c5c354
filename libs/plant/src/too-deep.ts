import { type CST, type LineCounter, Parser } from 'yaml';

/** Deepest nesting of maps and lists; a plant file has a dozen levels. */
export const deepestNesting = 60;

/**
 * Where the text nests deeper than {@link deepestNesting}, as an offset; `undefined` if it nowhere does.
 * To be asked before a document is composed: composing recurses, and close to the end of its stack the JavaScript engine can abort the whole
 * process instead of throwing (seen with Node 20 and 20 000 opening brackets). The parser proper does not recurse, nor does this walk.
 * @param lines learns where the lines of the text begin.
 */
export function tooDeepAt(text: string, lines: LineCounter): number | undefined {
  const open: { readonly token: CST.Token; readonly depth: number }[] = [];
  for (const token of new Parser(lines.addNewLine).parse(text)) {
    open.push({ token, depth: 0 });
    for (let next = open.pop(); next !== undefined; next = open.pop()) {
      if (next.depth > deepestNesting) return next.token.offset;
      const depth = next.depth + 1;
      for (const child of childrenOf(next.token)) open.push({ token: child, depth });
    }
  }
  return undefined;
}

function childrenOf(token: CST.Token): readonly CST.Token[] {
  if (token.type === 'document') return token.value === undefined ? [] : [token.value];
  if (!('items' in token)) return [];
  return token.items.flatMap(({ key, value }) => [key ?? [], value ?? []].flat());
}
