/** A JSON pointer taken apart, with its text for people. */
export interface JsonPointer {
  readonly text: string;
  readonly tokens: readonly string[];
}

/**
 * Takes a JSON pointer apart: `/speed/value` into `speed`, `value`; `~1` stands for `/`, `~0` for `~`. The empty pointer is the whole document.
 * Source: RFC 6901, sections 3 and 4.
 * @throws RangeError if the text is not a JSON pointer.
 */
export function parsePointer(text: string): JsonPointer {
  if (!/^(\/([^~/]|~[01])*)*$/.test(text))
    throw new RangeError(`pointer: a JSON pointer is needed, got ${text}`);
  const tokens = text.split('/').slice(1);
  return { text, tokens: tokens.map((token) => token.replaceAll('~1', '/').replaceAll('~0', '~')) };
}

/** What a pointer leads to in a JSON document; undefined where nothing stands there. Inherited names do not count. */
export function valueAt(root: unknown, { tokens }: JsonPointer): unknown {
  let value = root;
  for (const token of tokens) {
    if (typeof value !== 'object' || value === null || !isNameIn(value, token)) return undefined;
    value = (value as Readonly<Record<string, unknown>>)[token];
  }
  return value;
}

/** Array indices have no leading zeros (RFC 6901, section 4); `length` is no element. */
function isNameIn(value: object, token: string): boolean {
  return Object.hasOwn(value, token) && !(Array.isArray(value) && token === 'length');
}
