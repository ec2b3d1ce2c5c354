import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { chooseResolution, standInsFor } from './choose-resolution.js';
import { windowWidthMs } from './resolution.js';
import type { SeriesPoint } from './series-store.js';
import { trendOfWindows } from './trend.js';
import { rollUpPoints } from './window-summary.js';

const day = 86_400_000;
const ranges = fc.record({
  fromMs: fc.integer({ min: 1_700_000_000_000, max: 1_700_010_000_000 }),
  spanMs: fc.integer({ min: 1, max: 400 * day }),
  maxPoints: fc.integer({ min: 6, max: 10_000 }),
});
const numberPoints = fc
  .uniqueArray(fc.tuple(fc.integer({ min: 0, max: 3_000_000 }), fc.integer({ min: -50, max: 50 })), {
    selector: ([atMs]) => atMs,
    minLength: 1,
    maxLength: 300,
  })
  .map((points): readonly SeriesPoint[] => points.sort((a, b) => a[0] - b[0]));

describe('choosing a resolution', () => {
  it('takes no windows longer than half an interval of the picture, unless they would be too many to read', () => {
    fc.assert(
      fc.property(ranges, ({ fromMs, spanMs, maxPoints }) => {
        const chosen = chooseResolution({ fromMs, toMs: fromMs + spanMs, maxPoints });
        if (chosen === 'raw') return;
        const intervalMs = spanMs / ((maxPoints - 2) / 2 - 1);
        const finer = { '10s': undefined, '1min': 10_000, '1h': 60_000 }[chosen];
        const tooMany = finer !== undefined && spanMs / finer > 25_000;
        // Intervals are rounded up by at most 1/8.
        expect(2 * windowWidthMs(chosen) <= intervalMs * 1.13 + 2 || tooMany).toBe(true);
      }),
    );
  });

  it.each([
    ['an hour on 2000 points', 3_600_000, 2000, 'raw'],
    ['a day on 2000 points', day, 2000, '10s'],
    ['a week on 2000 points', 7 * day, 2000, '1min'],
    ['sixty days on 2000 points', 60 * day, 2000, '1h'],
    ['a year on 2000 points', 365 * day, 2000, '1h'],
    ['a day on 6 points', day, 6, '1h'],
  ])('takes for %s what is fine enough', (_name, spanMs, maxPoints, wanted) => {
    expect(chooseResolution({ fromMs: 0, toMs: spanMs, maxPoints })).toBe(wanted);
  });

  it('lets coarser windows stand in for what no longer reaches so far back', () => {
    expect(standInsFor('raw')).toEqual(['10s', '1min', '1h']);
    expect(standInsFor('10s')).toEqual(['1min', '1h']);
    expect(standInsFor('1h')).toEqual([]);
  });
});

describe('the trend of windows', () => {
  it('gives measured points in order, at most as many as asked, with every peak', () => {
    fc.assert(
      fc.property(numberPoints, fc.integer({ min: 6, max: 500 }), (points, maxPoints) => {
        const range = { fromMs: 0, toMs: 3_000_001, maxPoints };
        const trend = trendOfWindows(rollUpPoints(points, 10_000), range, 10_000);
        expect(trend.points.length).toBeLessThanOrEqual(maxPoints);
        expect(points).toEqual(expect.arrayContaining([...trend.points]));
        expect(trend.points).toEqual([...trend.points].sort((a, b) => a[0] - b[0]));
        const values = points.map(([, value]) => Number(value));
        const shown = trend.points.map(([, value]) => Number(value));
        expect([Math.min(...shown), Math.max(...shown)]).toEqual([Math.min(...values), Math.max(...values)]);
        expect(trend.points.at(-1)).toEqual(points.at(-1));
      }),
    );
  });

  it('holds every point between the edges of its band, and the mean too', () => {
    fc.assert(
      fc.property(numberPoints, fc.integer({ min: 6, max: 500 }), (points, maxPoints) => {
        const range = { fromMs: 0, toMs: 3_000_001, maxPoints };
        const { band, intervalMs } = trendOfWindows(rollUpPoints(points, 10_000), range, 10_000);
        expect(band.reduce((sum, { count }) => sum + count, 0)).toBe(points.length);
        for (const { startMs, low, high, mean } of band) {
          const own = points.filter(([atMs]) => atMs >= startMs && atMs < startMs + (intervalMs ?? 0));
          expect([low, high]).toEqual([
            Math.min(...own.map(([, value]) => Number(value))),
            Math.max(...own.map(([, value]) => Number(value))),
          ]);
          expect(mean >= low && mean <= high).toBe(true);
        }
      }),
    );
  });

  it('says nothing of instants outside the range', () => {
    const windows = rollUpPoints(
      [
        [1_000, 5],
        [4_000, 9],
        [12_000, 1],
      ],
      10_000,
    );
    const { points } = trendOfWindows(windows, { fromMs: 2_000, toMs: 12_000, maxPoints: 100 }, 10_000);
    expect(points).toEqual([[4_000, 9]]);
  });

  it('gives text where it changes', () => {
    const windows = rollUpPoints(
      [
        [0, 'a'],
        [10_000, 'a'],
        [20_000, 'b'],
      ],
      10_000,
    );
    const trend = trendOfWindows(windows, { fromMs: 0, toMs: 30_000, maxPoints: 100 }, 10_000);
    expect(trend).toMatchObject({
      points: [
        [0, 'a'],
        [20_000, 'b'],
      ],
      band: [],
      intervalMs: null,
    });
  });

  it('is empty where nothing was measured', () => {
    expect(trendOfWindows([], { fromMs: 0, toMs: 1000, maxPoints: 100 }, 10_000)).toEqual({
      points: [],
      thinned: false,
      intervalMs: null,
      band: [],
    });
  });
});
