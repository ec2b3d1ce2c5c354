import type { SeriesSample } from '@edge-margin/series';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createLineEncoder } from './line-protocol.js';

const speed = {
  measurement: 'reading',
  winderId: 'w1',
  stationId: 'a',
  end: 'both',
  field: 'speed',
} as const;
const encode = createLineEncoder(() => undefined);
const encodePlaced = createLineEncoder(() => ({ site: 'north', area: 'finishing', line: 'l1' }));
const sample = (more: Partial<SeriesSample>): SeriesSample => ({ ...speed, atMs: 1000, value: 1, ...more });

// Rules: InfluxDB 1.x documentation, "Line protocol" (special characters, data types); the escapes were read back from a running InfluxDB 1.6.7.
describe('line protocol', () => {
  it('writes measurement, tags in order of their names, field and time in ms', () => {
    expect(encodePlaced([sample({ value: 12.5 })])).toEqual({
      body: 'reading,area=finishing,end=both,line=l1,site=north,station=a,winder=w1 speed=12.5 1000\n',
      lineCount: 1,
      refused: [],
    });
  });

  it('leaves out the tags of a station that the plant does not have', () => {
    expect(encode([sample({})]).body).toBe('reading,end=both,station=a,winder=w1 speed=1 1000\n');
  });

  it('follows the plant when a winder is moved', () => {
    let area = 'one';
    const moving = createLineEncoder(() => ({ site: 's', area, line: 'l' }));
    expect(moving([sample({})]).body).toContain('area=one');
    area = 'two';
    expect(moving([sample({})]).body).toContain('area=two');
  });

  it.each([
    ['a space, a comma and an equals sign', 'a b,c=d', 'a\\ b\\,c\\=d'],
    ['a quotation mark as it is', 'a"b', 'a"b'],
    ['a backslash inside as it is', 'a\\b', 'a\\b'],
    ['other alphabets as they are', 'Größe 紙', 'Größe\\ 紙'],
  ])('escapes in a tag and in a field name %s', (_what, text, escaped) => {
    expect(encode([sample({ winderId: text, field: text })]).body).toBe(
      `reading,end=both,station=a,winder=${escaped} ${escaped}=1 1000\n`,
    );
  });

  it.each([
    ['q"uo\\te', '"q\\"uo\\\\te"'],
    ['', '""'],
    ['two\nlines, a=b', '"two\nlines, a=b"'],
    ['1200', '"1200"'],
  ])('writes the text %j as %s', (value, written) => {
    expect(encode([sample({ field: 'grade', value })]).body).toBe(
      `reading,end=both,station=a,winder=w1 grade=${written} 1000\n`,
    );
  });

  it.each([
    [5, '5'],
    [-0.25, '-0.25'],
    [1e21, '1e+21'],
    [5e-324, '5e-324'],
  ])('writes the number %d as the float %s', (value, written) => {
    expect(encode([sample({ value })]).body).toContain(` speed=${written} `);
  });

  it('makes one line of the fields of one instant and place, and keeps other ends and times apart', () => {
    const { body, lineCount } = encode([
      sample({ field: 'speed', value: 1 }),
      sample({ field: 'tension', value: 2 }),
      sample({ field: 'speed', value: 3, end: 'drive' }),
      sample({ field: 'speed', value: 4, atMs: 1001 }),
      sample({ field: 'grade', value: 'x', measurement: 'assessment' }),
    ]);
    expect(lineCount).toBe(4);
    expect(body.split('\n')).toEqual([
      'reading,end=both,station=a,winder=w1 speed=1,tension=2 1000',
      'reading,end=drive,station=a,winder=w1 speed=3 1000',
      'reading,end=both,station=a,winder=w1 speed=4 1001',
      'assessment,end=both,station=a,winder=w1 grade="x" 1000',
      '',
    ]);
  });

  it('lets the last value of a field stand', () => {
    expect(encode([sample({ value: 1 }), sample({ value: 2 })]).body).toBe(
      'reading,end=both,station=a,winder=w1 speed=2 1000\n',
    );
  });

  it.each([
    ['a number that is not finite', { value: NaN }, 'replica-not-finite'],
    ['infinity', { value: -Infinity }, 'replica-not-finite'],
    ['an empty tag', { stationId: '' }, 'replica-name-not-writable'],
    ['a line feed in a tag', { winderId: 'a\nb' }, 'replica-name-not-writable'],
    ['a carriage return in a tag', { winderId: 'a\rb' }, 'replica-name-not-writable'],
    ['a backslash at the end of a tag', { winderId: 'a\\' }, 'replica-name-not-writable'],
    ['a backslash at the end of a field name', { field: 'a\\' }, 'replica-name-not-writable'],
    ['an empty field name', { field: '' }, 'replica-name-not-writable'],
    ['a field named time', { field: 'time' }, 'replica-field-reserved'],
    ['a field named like a tag', { field: 'winder' }, 'replica-field-reserved'],
    ['a text that is too long', { value: '€'.repeat(21_334) }, 'replica-text-too-long'],
    ['a time beyond 64 bits of nanoseconds', { atMs: 9_223_372_036_855 }, 'replica-time-out-of-range'],
    ['a time that is not whole', { atMs: 0.5 }, 'replica-time-out-of-range'],
  ])('refuses %s and keeps the rest', (_what, more, code) => {
    const { body, refused } = encode([sample({ field: 'tension' }), sample(more), sample({ atMs: 2000 })]);
    expect(refused.map(({ index, because }) => [index, because.code])).toEqual([[1, code]]);
    expect(body).toBe(
      'reading,end=both,station=a,winder=w1 tension=1 1000\nreading,end=both,station=a,winder=w1 speed=1 2000\n',
    );
  });

  it('accepts the longest text', () => {
    expect(encode([sample({ value: '€'.repeat(21_333) })]).refused).toEqual([]);
  });

  it('lets no id or text make a line, a tag or a field of its own', () => {
    const word = fc.string({
      unit: fc.constantFrom('a', ' ', ',', '=', '"', '\\', '\n', '#', 'é'),
      maxLength: 8,
    });
    fc.assert(
      fc.property(
        word,
        word,
        word,
        fc.oneof(word, fc.double({ noNaN: true, noDefaultInfinity: true })),
        (winderId, stationId, field, value) => {
          const { body, refused } = encode([sample({ winderId, stationId, field, value })]);
          if (refused.length > 0) expect(body).toBe('');
          else
            expect(readLine(body)).toEqual({
              head: ['reading', 'end', 'both', 'station', stationId, 'winder', winderId],
              field,
              value: value === 0 ? 0 : value, // the sign of zero is not carried
              time: '1000',
            });
        },
      ),
      { numRuns: 2000 },
    );
  });
});

/** A reader of one line with one field, written from the documentation and independent of the encoder. */
function readLine(line: string): unknown {
  let at = 0;
  const word = (stops: string): string => {
    let text = '';
    for (; at < line.length && !stops.includes(line[at]!); at += 1) {
      if (line[at] === '\\' && ',= '.includes(line[at + 1]!)) at += 1;
      text += line[at]!;
    }
    return text;
  };
  const head: string[] = [word(', ')];
  while (line[at] === ',') {
    at += 1;
    head.push(word('='));
    at += 1;
    head.push(word(', '));
  }
  at += 1;
  const field = word('=');
  at += 1;
  let value: string | number;
  if (line[at] === '"') {
    value = '';
    for (at += 1; line[at] !== '"'; at += 1) {
      if (line[at] === '\\' && '"\\'.includes(line[at + 1]!)) at += 1;
      value += line[at]!;
    }
    at += 1;
  } else value = Number(word(' '));
  const time = line.slice(at + 1, -1);
  return { head, field, value, time };
}
