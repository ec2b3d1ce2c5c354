import { describe, expect, it } from 'vitest';
import { gapCountWords, gapLengthWords, gapsTitle, missingWords } from './gap-words.js';
import { keptWhereWords, keptWords } from './keeping-words.js';

const dayMs = 86_400_000;

describe('what is missing, in words', () => {
  it('says what, how long and how many, as far as that is known', () => {
    expect(['messages', 'series', 'replica influx', 'pages'].map(missingWords)).toEqual([
      'messages of sources',
      'points kept here',
      'the copy in InfluxDB',
      'pages',
    ]);
    expect(gapLengthWords({ fromMs: 0, toMs: 192_000 })).toBe('3.2 min');
    expect(gapLengthWords({ fromMs: 5, toMs: 5 })).toBe('not known');
    expect([gapCountWords(null), gapCountWords(12_345)]).toEqual(['not known', '12\u2009345']);
  });

  it('says so where nothing is known to be missing, and where there is more than is shown', () => {
    expect(gapsTitle(0, false)).toBe('Missing in the last 24 h: nothing that is known of');
    expect(gapsTitle(1, false)).toBe('Missing in the last 24 h: 1 gap');
    expect(gapsTitle(50, true)).toBe('Missing in the last 24 h: more than 50 gaps');
  });
});

describe('what is kept, in words', () => {
  it('is a time, its bound and its place', () => {
    expect(keptWords({ keptMs: 2 * dayMs, atMost: { value: 20e9, unit: 'By' } })).toBe(
      '2 days, at most 20 GB',
    );
    expect(keptWords({ keptMs: dayMs, atMost: null })).toBe('1 day');
    expect(keptWords({ keptMs: null, atMost: null })).toBe('without end');
    expect(keptWords({ keptMs: 400 * dayMs, atMost: { value: 2_500_000, unit: 'count' } })).toBe(
      '400 days, at most 2\u2009500\u2009000 rows',
    );
    expect([keptWhereWords('here'), keptWhereWords('influxdb')]).toEqual(['here', 'in InfluxDB']);
  });
});
