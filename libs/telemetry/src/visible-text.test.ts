import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { payloadSample } from './payload-sample.js';
import { hasInvisible, shownValue, visibleText } from './visible-text.js';

const strict = new TextDecoder('utf-8', { fatal: true });
const sample = (bytes: Uint8Array) => payloadSample(bytes, (part) => strict.decode(part));
const sampleOf = (text: string) => sample(new TextEncoder().encode(text));

describe('text made visible', () => {
  it('shows control characters, marks that turn the direction of writing, and halves of characters', () => {
    expect(visibleText('a\u0000b\r\n\u202ec\u2028\ud800')).toBe('a\\u{0}b\\r\\n\\u{202e}c\\u{2028}\\u{d800}');
  });

  it('leaves what can be seen, in any script', () => {
    expect(visibleText('Stück 12 µm 卷取 ½')).toBe('Stück 12 µm 卷取 ½');
  });

  it('holds nothing invisible, whatever it was', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), (text) => {
        expect(hasInvisible(visibleText(text))).toBe(false);
      }),
    );
  });
});

describe('a value quoted in a reason', () => {
  it.each([
    ['x'.repeat(100), `"${'x'.repeat(38)}…`],
    ['12,5', '"12,5"'],
    [null, 'null'],
    [1e308, '1e+308'],
    [[1, 2], 'a list of 2'],
    [{}, 'an object'],
    [false, 'false'],
  ])('is short: %j', (value, expected) => {
    expect(shownValue(value)).toBe(expected);
  });
});

describe('the sample of a payload', () => {
  it('is the payload itself where it is short', () => {
    expect(sampleOf('{"speed": 12}\n')).toBe('{"speed": 12}\\n');
  });

  it('ends at a whole character', () => {
    expect(sampleOf(`${'x'.repeat(198)}€€`)).toBe(`${'x'.repeat(198)}…`);
  });

  it('writes bytes that are no text as numbers', () => {
    expect(sample(Uint8Array.of(0x41, 0xff, 0x00, 0x42))).toBe('A\\xff\\x00B');
  });

  it('has at most 200 characters and nothing invisible, whatever the bytes', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 600 }), (bytes) => {
        expect(sample(bytes).length).toBeLessThanOrEqual(200);
        expect(hasInvisible(sample(bytes))).toBe(false);
      }),
    );
  });
});
