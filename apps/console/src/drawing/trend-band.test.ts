import { describe, expect, it } from 'vitest';
import { bandOf, bandParts, bandValues, bandWith, meanLine } from './trend-band.js';

const windowMs = 60_000;
const minute = (at: number) => at * windowMs;
const series = (band: readonly (readonly [number, number, number, number])[]) => ({
  points: [
    [minute(3) + 5_000, 7],
    [minute(3) + 9_000, 9],
  ] as const,
  intervalMs: windowMs,
  band,
});
const steady = series([
  [minute(0), 1, 5, 2],
  [minute(1), 2, 6, 3],
  [minute(2), 2, 8, 4],
  [minute(3), 7, 9, 8],
]);

describe('the band of a trend that was drawn from windows', () => {
  it('is there only where there are windows', () => {
    expect(bandOf({ points: [[0, 1]], intervalMs: null, band: [] })).toBeNull();
    expect(bandOf(steady)?.windows[1]).toEqual([minute(1), 2, 6]);
    expect(bandValues(null)).toEqual([]);
    expect(Math.max(...bandValues(bandOf(steady)))).toBe(9);
  });

  it('has the means in the middle of their windows, and of the last one its points', () => {
    expect(meanLine(steady, windowMs, [])).toEqual([
      [30_000, 2],
      [90_000, 3],
      [150_000, 4],
      [minute(3) + 5_000, 7],
      [minute(3) + 9_000, 9],
    ]);
  });

  it('has a line that is broken where windows are missing', () => {
    const hole = series([
      [minute(0), 1, 5, 2],
      [minute(1), 1, 5, 2],
      [minute(2), 1, 5, 2],
      [minute(6), 2, 6, 3],
      [minute(7), 2, 6, 3],
    ]);
    const line = meanLine({ ...hole, points: [[minute(7) + 1, 3]] }, windowMs, []);
    expect(line.filter(([, value]) => value === null)).toEqual([[minute(2) + 30_001, null]]);
  });

  it('takes what comes into its last window, begins the next one, and lets go of its beginning', () => {
    const band = bandOf(steady)!;
    const wider = bandWith(band, minute(3) + 20_000, 12, 0);
    expect(wider.windows.at(-1)).toEqual([minute(3), 7, 12]);
    const next = bandWith(wider, minute(4), 10, minute(1) + 30_000);
    expect(next.windows.map(([startMs]) => startMs)).toEqual([1, 2, 3, 4].map(minute));
    expect(next.windows.at(-1)).toEqual([minute(4), 10, 10]);
    expect(bandWith(band, minute(2), 99, 0)).toBe(band);
  });

  it('is drawn in pieces where windows are missing, and open where a window has not ended', () => {
    const band = bandOf(
      series([
        [minute(0), 1, 5, 2],
        [minute(1), 1, 5, 2],
        [minute(4), 1, 5, 2],
        [minute(5), 1, 5, 2],
      ]),
    )!;
    const { ended, open } = bandParts(band, minute(5) + 10_000);
    expect(ended.map((part) => part.map(([startMs]) => startMs))).toEqual([
      [minute(0), minute(1)],
      [minute(4)],
    ]);
    expect(open.map(([startMs]) => startMs)).toEqual([minute(5)]);
  });
});
