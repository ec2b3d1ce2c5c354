const quote = 0x22;
const backslash = 0x5c;

/** Deeper nesting than any message has that was meant for people or machines to read. */
export const deepestNesting = 32;

/** How deep JSON text nests and how many object members it writes, counted from its bytes before it is parsed. */
export function jsonShape(bytes: Uint8Array): { readonly depth: number; readonly members: number } {
  let depth = 0;
  let deepest = 0;
  let members = 0;
  for (let i = 0; i < bytes.length; i += 1) {
    switch (bytes[i]) {
      case quote:
        i = endOfString(bytes, i);
        break;
      case 0x3a: // :
        members += 1;
        break;
      case 0x7b: // {
      case 0x5b: // [
        depth += 1;
        if (depth > deepest) deepest = depth;
        break;
      case 0x7d: // }
      case 0x5d: // ]
        depth -= 1;
        break;
      default:
    }
  }
  return { depth: deepest, members };
}

function endOfString(bytes: Uint8Array, start: number): number {
  let i = start + 1;
  while (i < bytes.length && bytes[i] !== quote) i += bytes[i] === backslash ? 2 : 1;
  return i;
}

/** The members of all objects in a parsed document: fewer than were written where a name stands twice in one object. */
export function memberCount(value: unknown): number {
  if (typeof value !== 'object' || value === null) return 0;
  const inside: readonly unknown[] = Object.values(value);
  let count = Array.isArray(value) ? 0 : inside.length;
  for (const one of inside) if (typeof one === 'object') count += memberCount(one);
  return count;
}

/** The first name that stands twice in one object of valid JSON text; undefined where none does. */
export function repeatedName(text: string): string | undefined {
  const open: (Set<string> | undefined)[] = [];
  for (const [token] of text.matchAll(/"[^"\\]*(?:\\.[^"\\]*)*"\s*:?|[{}[\]]/g)) {
    if (token === '{') open.push(new Set());
    else if (token === '[') open.push(undefined);
    else if (token === '}' || token === ']') open.pop();
    else if (token.endsWith(':')) {
      const name = JSON.parse(token.slice(0, -1)) as string;
      if (open.at(-1)?.has(name) === true) return name;
      open.at(-1)?.add(name);
    }
  }
  return undefined;
}
