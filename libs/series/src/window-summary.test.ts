import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { rolledResolutions, windowStartMs, windowWidthMs } from './resolution.js';
import type { SeriesPoint } from './series-store.js';
import { mergeSummaries, rollUpPoints, rollUpWindows, type WindowSummary } from './window-summary.js';

const instant = fc.integer({ min: -20_000_000, max: 20_000_000 });
const pointsOf = <V extends number | string>(value: fc.Arbitrary<V>): fc.Arbitrary<readonly SeriesPoint[]> =>
  fc
    .uniqueArray(fc.tuple(instant, value), { selector: ([atMs]) => atMs, maxLength: 200 })
    .map((points) => points.sort((a, b) => a[0] - b[0]));
const number = fc.oneof(
  fc.integer({ min: -3, max: 3 }),
  fc.double({ min: -1e6, max: 1e6, noNaN: true }).map((value) => value + 0),
);
const numberPoints = pointsOf(number);
const anyPoints = fc.oneof(numberPoints, pointsOf(fc.oneof(number, fc.constantFrom('film', 'paper'))));
const widths = rolledResolutions.map(windowWidthMs);

/** By the definitions, window by window, without anything of the code under test but where a window begins. */
function byDefinition(points: readonly SeriesPoint[], widthMs: number): readonly WindowSummary[] {
  const starts = [...new Set(points.map(([atMs]) => Math.floor(atMs / widthMs) * widthMs))];
  return starts.map((startMs) => {
    const own = points.filter(([atMs]) => atMs >= startMs && atMs < startMs + widthMs);
    const values = own.map(([, value]) => value);
    const earliest = (wanted: number): SeriesPoint => own.find(([, value]) => value === wanted)!;
    const numbers = values.some((value) => typeof value === 'string')
      ? null
      : {
          low: earliest(Math.min(...values.map(Number))),
          high: earliest(Math.max(...values.map(Number))),
          mean: values.reduce<number>((sum, value) => sum + Number(value), 0) / values.length,
        };
    return { startMs, count: own.length, last: own.at(-1)!, numbers };
  });
}

/** Means agree to rounding: the order of summation differs; 200 additions of values up to 1e6 lose less than 200 x 1e6 x 2^-52 = 5e-8. */
const meanTolerance = 1e-7;
function expectSame(actual: readonly WindowSummary[], expected: readonly WindowSummary[]): void {
  const withoutMean = (windows: readonly WindowSummary[]) =>
    windows.map(({ numbers, ...rest }) => ({ ...rest, low: numbers?.low, high: numbers?.high }));
  expect(withoutMean(actual)).toEqual(withoutMean(expected));
  actual.forEach(({ numbers }, index) => {
    const mean = expected[index]?.numbers?.mean;
    if (mean !== undefined) expect(Math.abs((numbers?.mean ?? NaN) - mean)).toBeLessThan(meanTolerance);
  });
}

describe('rolling up', () => {
  it('gives lowest, highest, mean, last and count of every window that holds a point', () => {
    fc.assert(
      fc.property(anyPoints, fc.constantFrom(...widths, 1, 7), (points, widthMs) => {
        expectSame(rollUpPoints(points, widthMs), byDefinition(points, widthMs));
      }),
    );
  });

  it('gives the same from windows as from the points in them', () => {
    fc.assert(
      fc.property(anyPoints, (points) => {
        const fine = rollUpPoints(points, 10_000);
        const middle = rollUpWindows(fine, 60_000);
        expectSame(middle, rollUpPoints(points, 60_000));
        expectSame(rollUpWindows(middle, 3_600_000), rollUpPoints(points, 3_600_000));
        expectSame(rollUpWindows(fine, 3_600_000), rollUpPoints(points, 3_600_000));
      }),
    );
  });

  it('is changed by late data as if it had come in time', () => {
    fc.assert(
      fc.property(anyPoints, fc.array(fc.boolean(), { minLength: 200, maxLength: 200 }), (points, isLate) => {
        const early = points.filter((_, index) => isLate[index] !== true);
        const late = points.filter((_, index) => isLate[index] === true);
        const lateStarts = new Set(late.map(([atMs]) => windowStartMs(atMs, 10_000)));
        const kept = rollUpPoints(early, 10_000).filter(({ startMs }) => !lateStarts.has(startMs));
        const anew = points.filter(([atMs]) => lateStarts.has(windowStartMs(atMs, 10_000)));
        const together = [...kept, ...rollUpPoints(anew, 10_000)].sort((a, b) => a.startMs - b.startMs);
        expectSame(together, rollUpPoints(points, 10_000));
      }),
    );
  });

  it('joins two parts of one window in either order', () => {
    const inOneWindow = fc
      .uniqueArray(fc.tuple(fc.integer({ min: 0, max: 9_999 }), number), {
        selector: ([atMs]) => atMs,
        minLength: 2,
        maxLength: 50,
      })
      .map((points): readonly SeriesPoint[] => points.sort((a, b) => a[0] - b[0]));
    fc.assert(
      fc.property(inOneWindow, fc.array(fc.boolean(), { minLength: 50, maxLength: 50 }), (points, isLate) => {
        const [early, late] = [false, true].map(
          (wanted) =>
            rollUpPoints(
              points.filter((_, index) => (isLate[index] ?? false) === wanted),
              10_000,
            )[0],
        );
        fc.pre(early !== undefined && late !== undefined);
        expectSame([mergeSummaries(early, late)], rollUpPoints(points, 10_000));
        expectSame([mergeSummaries(late, early)], rollUpPoints(points, 10_000));
      }),
    );
  });

  it('has no window where there was no point', () => {
    expect(rollUpPoints([], 10_000)).toEqual([]);
    expect(rollUpWindows([], 60_000)).toEqual([]);
    expect(
      rollUpPoints(
        [
          [5_000, 1],
          [3_600_000, 2],
        ],
        10_000,
      ).map(({ startMs }) => startMs),
    ).toEqual([0, 3_600_000]);
  });

  it('holds the start of a window and not its end', () => {
    expect(
      rollUpPoints(
        [
          [-1, 1],
          [0, 2],
          [9_999, 3],
          [10_000, 4],
        ],
        10_000,
      ).map(({ startMs, count }) => [startMs, count]),
    ).toEqual([
      [-10_000, 1],
      [0, 2],
      [10_000, 1],
    ]);
  });

  it('tells of text only how many and the last', () => {
    expect(
      rollUpPoints(
        [
          [0, 'film'],
          [4_000, 3],
          [9_000, 'paper'],
        ],
        10_000,
      ),
    ).toEqual([{ startMs: 0, count: 3, last: [9_000, 'paper'], numbers: null }]);
  });

  it('finds the mean of the largest numbers there are', () => {
    const huge = Number.MAX_VALUE;
    expect(
      rollUpPoints(
        [
          [0, huge],
          [1, huge],
          [2, huge],
        ],
        10_000,
      )[0]?.numbers?.mean,
    ).toBe(huge);
    expect(
      rollUpPoints(
        [
          [0, huge],
          [1, -huge],
        ],
        10_000,
      )[0]?.numbers?.mean,
    ).toBe(0);
  });
});
