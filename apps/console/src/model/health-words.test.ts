import { describe, expect, it } from 'vitest';
import { bytesWords, durationWords, figureWords, shortNumber, troubleWords } from './health-words.js';

const since = () => '14:22';
const figure = (value: number | string | null, unit: Parameters<typeof figureWords>[0]['unit']) =>
  figureWords({ name: 'x', label: 'x', value, unit }, since);

describe('figures of the service', () => {
  it.each([
    [0, '0 s'],
    [0.000042, '42 µs'],
    [0.00214, '2.1 ms'],
    [0.41, '410 ms'],
    [0.9999, '1 s'],
    [1.24, '1.2 s'],
    [89.4, '89 s'],
    [90, '1.5 min'],
    [5_400, '1.5 h'],
    [200_000, '2.3 days'],
    [-0.5, '−500 ms'],
  ])('%d s is told as %s', (seconds, words) => {
    expect(durationWords(seconds)).toBe(words);
  });

  it.each([
    [0, '0 bytes'],
    [999, '999 bytes'],
    [1_340_000_000, '1.3 GB'],
    [4.1e8, '410 MB'],
    [2.5e15, '2500 TB'],
  ])('%d bytes are told as %s', (bytes, words) => {
    expect(bytesWords(bytes)).toBe(words);
  });

  it('are whole from 10 on and grouped from 10 000 on', () => {
    expect([9.96, 12.4, 9_999, 184_250, 12_345_678].map(shortNumber)).toEqual([
      '10',
      '12',
      '9999',
      '184\u2009250',
      '12\u2009345\u2009678',
    ]);
  });

  it('are told by their unit, and as not known where they are not', () => {
    expect(figure(0.013, 'ratio')).toBe('1.3 %');
    expect(figure(998.6, '1/s')).toBe('999 a second');
    expect(figure(1, 'instant')).toBe('14:22');
    expect(figure('20.19.5', null)).toBe('20.19.5');
    expect(figure(null, 's')).toBe('not known');
    expect(figure(Number.NaN, 'count')).toBe('not known');
  });
});

describe('the parts in trouble', () => {
  it('are named, the gravest first', () => {
    const part = (name: 'disk' | 'replica' | 'broker', state: 'ok' | 'degraded' | 'down') =>
      ({ part: name, state, sinceMs: 0, because: [], figures: [] }) as const;
    expect(troubleWords([part('broker', 'ok'), part('replica', 'degraded'), part('disk', 'down')])).toBe(
      'Disk: does not work. Replica: works, but somebody should look.',
    );
    expect(troubleWords([part('broker', 'ok')])).toBe('');
  });
});
