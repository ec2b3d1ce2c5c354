import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  appended,
  lonePoints,
  quietFor,
  trendColumns,
  trendRange,
  usualStepMs,
  withGaps,
} from './trend-columns.js';

const breaks = { quietMs: 15_000, usualMs: 1_000, missing: [] };

describe('the line of a trend', () => {
  it('is broken where nothing came', () => {
    expect(
      withGaps(
        [
          [0, 1],
          [1_000, 2],
          [60_000, 3],
        ],
        breaks,
      ),
    ).toEqual([
      [0, 1],
      [1_000, 2],
      [1_001, null],
      [60_000, 3],
    ]);
  });

  it('is broken by a value that is no number', () => {
    expect(withGaps([[0, Number.NaN]], breaks)).toEqual([[0, null]]);
  });

  it('is broken by a recorded gap where a step is longer than usual, and not where the points went on', () => {
    const points = [
      [0, 1],
      [1_000, 2],
      [4_000, 3],
      [5_000, 4],
    ] as const;
    const broken = (fromMs: number, toMs: number) =>
      withGaps(points, { ...breaks, missing: [{ fromMs, toMs }] }).filter(([, value]) => value === null);
    expect(broken(1_500, 3_500)).toEqual([[1_001, null]]);
    expect(broken(200, 800)).toEqual([]);
    expect(broken(4_200, 4_800)).toEqual([]);
    expect(withGaps(points, breaks)).toEqual(points);
  });

  it('bears a few of its own steps, whatever its period', () => {
    const everyMs = (stepMs: number) => Array.from({ length: 9 }, (_, at) => [at * stepMs, 1] as const);
    const borne = (stepMs: number) => quietFor(usualStepMs(everyMs(stepMs)), false, 900_000, 900);
    expect(borne(100)).toBe(3_000);
    expect(borne(1_000)).toBe(5_000);
    expect(borne(20_000)).toBe(100_000);
    expect(withGaps(everyMs(20_000), { ...breaks, quietMs: borne(20_000) })).toEqual(everyMs(20_000));
    expect(usualStepMs([[0, 1]])).toBeNull();
    expect(quietFor(null, false, 900_000, 900)).toBe(15_000);
  });

  it('bears longer steps where the record was thinned over a long span', () => {
    expect(quietFor(1_000, false, 28_800_000, 600)).toBe(5_000);
    expect(quietFor(1_000, true, 28_800_000, 600)).toBe(288_000);
  });

  it('shows a point that stands between two holes as a point', () => {
    expect(lonePoints([1, undefined, 2, null, undefined, 3, null, 4, 5])).toEqual([5]);
    expect(lonePoints([1])).toEqual([0]);
    expect(lonePoints([])).toEqual([]);
  });

  it('grows at its end, lets go its beginning and shows a silence', () => {
    const line = appended(
      [
        [0, 1],
        [10_000, 2],
      ],
      11_000,
      3,
      5_000,
      15_000,
    );
    expect(line).toEqual([
      [10_000, 2],
      [11_000, 3],
    ]);
    expect(appended(line, 60_000, 4, 5_000, 15_000)).toEqual([
      [10_000, 2],
      [11_000, 3],
      [11_001, null],
      [60_000, 4],
    ]);
  });

  it('does not take a point twice or turn back in time', () => {
    const line = [[10_000, 2]] as const;
    expect(appended(line, 10_000, 9, 0, 15_000)).toBe(line);
    expect(appended(line, 9_000, 9, 0, 15_000)).toBe(line);
  });
});

describe('several lines on one time axis', () => {
  it('keep their own points; elsewhere a line has none, which is not a gap', () => {
    expect(
      trendColumns([
        [
          [1_000, 5],
          [3_000, null],
        ],
        [[2_000, 7]],
      ]),
    ).toEqual([
      [1, 2, 3],
      [5, undefined, null],
      [undefined, 7, undefined],
    ]);
  });

  it('are in order of time whatever came', () => {
    const anyLine = fc.array(
      fc.tuple(fc.integer({ min: 0, max: 1e6 }), fc.oneof(fc.double({ noNaN: true }), fc.constant(null))),
      { maxLength: 30 },
    );
    fc.assert(
      fc.property(fc.array(anyLine, { minLength: 1, maxLength: 3 }), (lines) => {
        const [times, ...columns] = trendColumns(lines);
        expect(times).toEqual([...new Set(times)].sort((a, b) => a - b));
        for (const column of columns) expect(column).toHaveLength(times.length);
      }),
    );
  });
});

describe('the scale of a trend', () => {
  it('holds all values and never shrinks below what is asked', () => {
    expect(
      trendRange(
        [
          [
            [0, 0.4],
            [1, null],
          ],
        ],
        [0, 1],
      ),
    ).toEqual([0, 1]);
    expect(
      trendRange(
        [
          [
            [0, -0.6],
            [1, 1.2],
          ],
        ],
        [0, 1],
      ),
    ).toEqual([-0.6, 1.2]);
  });

  it('gives a steady signal some room', () => {
    const [low, high] = trendRange(
      [
        [
          [0, 10],
          [1, 10],
        ],
      ],
      null,
    );
    expect(low).toBeLessThan(10);
    expect(high).toBeGreaterThan(10);
  });

  it('is something to draw on even without a value', () => {
    expect(trendRange([[]], null)).toEqual([0, 1]);
  });
});
