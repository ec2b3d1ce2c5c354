import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseRfc3339 } from './rfc3339.js';

const iso = (text: string) => {
  const read = parseRfc3339(text);
  return read.ok ? new Date(read.atMs).toISOString() : read.fault;
};

describe('a time of RFC 3339', () => {
  // The first four are the examples of RFC 3339, section 5.8; the instants were worked out by hand from its text.
  it.each([
    ['1985-04-12T23:20:50.52Z', '1985-04-12T23:20:50.520Z'],
    ['1996-12-19T16:39:57-08:00', '1996-12-20T00:39:57.000Z'],
    ['1990-12-31T23:59:60Z', '1990-12-31T23:59:59.999Z'],
    ['1937-01-01T12:00:27.87+00:20', '1937-01-01T11:40:27.870Z'],
    ['2026-11-25T04:55:15.055Z', '2026-11-25T04:55:15.055Z'],
    ['2026-11-25t04:55:15z', '2026-11-25T04:55:15.000Z'],
    ['2026-11-25 04:55:15+00:00', '2026-11-25T04:55:15.000Z'],
    ['2026-11-25T04:55:15-00:00', '2026-11-25T04:55:15.000Z'],
    ['2026-11-25T04:55:15.0554999Z', '2026-11-25T04:55:15.055Z'],
    ['2026-11-25T04:55:15.9996Z', '2026-11-25T04:55:16.000Z'],
    ['2024-02-29T00:00:00Z', '2024-02-29T00:00:00.000Z'],
    ['0050-01-01T00:00:00Z', '0050-01-01T00:00:00.000Z'],
  ])('%s is %s', (text, instant) => {
    expect(iso(text)).toBe(instant);
  });

  it.each(['2026-11-25T04:55:15', '2026-11-25T04:55:15.5', '2026-11-25 04:55:15'])(
    '%s lacks its offset',
    (text) => {
      expect(iso(text)).toBe('no-offset');
    },
  );

  it.each([
    '2026-11-25 04:55',
    '2026-11-25',
    '2023-02-29T00:00:00Z',
    '2026-13-01T00:00:00Z',
    '2026-11-00T00:00:00Z',
    '2026-11-25T24:00:00Z',
    '2026-11-25T04:60:00Z',
    '2026-11-25T04:55:61Z',
    '2026-11-25T04:55:15+24:00',
    '2026-11-25T04:55:15+0100',
    '2026-11-25T04:55:15.Z',
    '26-11-25T04:55:15Z',
    '2026-11-25T04:55:15Z ',
    `2026-11-25T04:55:15.${'0'.repeat(60)}Z`,
    '',
  ])('%s is malformed', (text) => {
    expect(iso(text)).toBe('malformed');
  });

  it('is read like the platform reads it, over all instants of four centuries', () => {
    fc.assert(
      fc.property(
        fc.date({ min: new Date('1900-01-01'), max: new Date('2300-01-01'), noInvalidDate: true }),
        (date) => {
          expect(parseRfc3339(date.toISOString())).toEqual({ ok: true, atMs: date.getTime() });
        },
      ),
    );
  });

  it('never throws, whatever the text', () => {
    fc.assert(fc.property(fc.string(), (text) => void parseRfc3339(text)));
  });
});
