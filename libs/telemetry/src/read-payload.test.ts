import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { jsonShape, memberCount, repeatedName } from './json-shape.js';
import { readPayload } from './read-payload.js';

const strict = new TextDecoder('utf-8', { fatal: true });
const textDecoder = (bytes: Uint8Array) => strict.decode(bytes);
const bytesOf = (text: string) => new TextEncoder().encode(text);
const read = (payload: string | Uint8Array, kind: 'json' | 'plain' = 'json') =>
  readPayload(typeof payload === 'string' ? bytesOf(payload) : payload, kind, textDecoder);
const code = (payload: string | Uint8Array, kind?: 'json' | 'plain') => {
  const result = read(payload, kind);
  return result.ok ? 'ok' : result.because.code;
};

describe('a payload', () => {
  it.each([
    ['is empty', '', 'payload-empty'],
    ['is larger than 64 KiB', ' '.repeat(256 * 1024), 'payload-too-large'],
    ['is not UTF-8', Uint8Array.of(0x7b, 0xff, 0x7d), 'payload-not-utf8'],
    ['is no JSON', '{"speed": 12', 'json-invalid'],
    ['is JSON with something after it', '{"speed": 12} x', 'json-invalid'],
    ['writes NaN as some programs do', '{"speed": NaN}', 'json-nan'],
    ['writes -Infinity as some programs do', '[1,-Infinity]', 'json-nan'],
    ['nests deeper than 32 levels', '['.repeat(33) + ']'.repeat(33), 'json-too-deep'],
    ['is a nesting bomb', '['.repeat(60_000), 'json-too-deep'],
    ['holds a name twice', '{"speed": 1, "speed": 2}', 'json-repeated-name'],
    ['holds a name twice, once escaped', '{"a": {"v": 1, "\\u0076": 2}}', 'json-repeated-name'],
  ])('that %s is refused: %s', (_, payload, expected) => {
    expect(code(payload)).toBe(expected);
  });

  it.each([
    ['of 64 KiB', `"${' '.repeat(65_534)}"`],
    ['nested 32 levels deep', '['.repeat(32) + ']'.repeat(32)],
    ['with the same name in two objects', '{"a": {"v": 1}, "b": {"v": 2}, "c": [{"v": 3}, {"v": 4}]}'],
    ['with brackets, colons and quotes inside text', '{"a": "[[[{:\\"}", "b\\"": ":"}'],
    ['with a byte order mark', '\uFEFF{"a": 1}'],
    ['with the name __proto__', '{"__proto__": 1}'],
  ])('%s is read', (_, payload) => {
    expect(code(payload)).toBe('ok');
  });

  it('names the name that stands twice', () => {
    const result = read('{"a": [{"x": 1}], "b": {"speed": 1, "speed": 2}}');
    expect(result.ok ? '' : result.because.text).toContain('the name "speed" stands more than once');
  });

  it('that is plain is its trimmed text', () => {
    expect(read(' 12.5\r\n', 'plain')).toEqual({ ok: true, root: '12.5' });
    expect(code('', 'plain')).toBe('payload-empty');
  });
});

describe('the shape of JSON text', () => {
  it('counts what the parsed document holds, unless a name stands twice', () => {
    fc.assert(
      fc.property(fc.jsonValue({ maxDepth: 5 }), (value) => {
        const text = JSON.stringify(value);
        expect(jsonShape(bytesOf(text)).members).toBe(memberCount(JSON.parse(text)));
        expect(repeatedName(text)).toBeUndefined();
      }),
    );
  });
});
