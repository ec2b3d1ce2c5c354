const made = new WeakMap<object, string>();

/**
 * JSON text of a value that is never changed, made once however often it is asked for: each assessment goes to the broker and to every page that
 * listens.
 */
export function jsonOnce(value: object): string {
  const known = made.get(value);
  if (known !== undefined) return known;
  const text = JSON.stringify(value);
  made.set(value, text);
  return text;
}
