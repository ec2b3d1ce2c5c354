import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { SeriesPoint } from './series-store.js';
import { bucketWidthMs, leastMaxPoints, thin } from './thin.js';

const numberPoints = fc
  .uniqueArray(fc.tuple(fc.integer({ min: -1e12, max: 2e12 }), fc.integer({ min: -5, max: 5 })), {
    selector: ([atMs]) => atMs,
    maxLength: 300,
  })
  .map((points): readonly SeriesPoint[] => points.sort((a, b) => a[0] - b[0]));
const textPoints = numberPoints.map((points): readonly SeriesPoint[] =>
  points.map(([atMs, value]) => [atMs, `grade-${value}`]),
);
const maxPoints = fc.integer({ min: leastMaxPoints, max: 400 });
const valuesOf = (points: readonly SeriesPoint[]): readonly number[] =>
  points.map(([, value]) => Number(value));

describe('thinning', () => {
  it('leaves alone what is few enough', () => {
    fc.assert(
      fc.property(numberPoints, (points) => {
        expect(thin(points, Math.max(leastMaxPoints, points.length))).toEqual({ points, thinned: false });
      }),
    );
  });

  it('gives no more points than asked, all of them measured, in order of time', () => {
    fc.assert(
      fc.property(fc.oneof(numberPoints, textPoints), maxPoints, (points, most) => {
        const { points: kept, thinned } = thin(points, most);
        expect(kept.length).toBeLessThanOrEqual(Math.max(most, 0));
        expect(thinned).toBe(points.length > most);
        expect(points).toEqual(expect.arrayContaining([...kept]));
        expect(kept).toEqual([...kept].sort((a, b) => a[0] - b[0]));
        expect(new Set(kept.map(([atMs]) => atMs)).size).toBe(kept.length);
      }),
    );
  });

  it('keeps the first, the last, the lowest and the highest', () => {
    fc.assert(
      fc.property(numberPoints, maxPoints, (points, most) => {
        fc.pre(points.length > 0);
        const { points: kept } = thin(points, most);
        expect([kept[0], kept.at(-1)]).toEqual([points[0], points.at(-1)]);
        expect(Math.min(...valuesOf(kept))).toBe(Math.min(...valuesOf(points)));
        expect(Math.max(...valuesOf(kept))).toBe(Math.max(...valuesOf(points)));
      }),
    );
  });

  it('keeps the lowest and highest of every interval', () => {
    fc.assert(
      fc.property(numberPoints, maxPoints, (points, most) => {
        fc.pre(points.length > most);
        const widthMs = bucketWidthMs(points[0]![0], points.at(-1)![0], most);
        const inBucket = (all: readonly SeriesPoint[], bucket: number): readonly number[] =>
          valuesOf(all.filter(([atMs]) => Math.floor(atMs / widthMs) === bucket));
        const kept = thin(points, most).points;
        for (const bucket of new Set(points.map(([atMs]) => Math.floor(atMs / widthMs)))) {
          expect(Math.max(...inBucket(kept, bucket))).toBe(Math.max(...inBucket(points, bucket)));
          expect(Math.min(...inBucket(kept, bucket))).toBe(Math.min(...inBucket(points, bucket)));
        }
      }),
    );
  });

  it('keeps every change of a text while they are few enough, and one per interval beyond', () => {
    const changing = (every: number): readonly SeriesPoint[] =>
      Array.from({ length: 1000 }, (_, index): SeriesPoint => [
        index * 1000,
        `grade-${Math.floor(index / every)}`,
      ]);
    expect(thin(changing(250), 100).points.map(([atMs]) => atMs)).toEqual([
      0, 250_000, 500_000, 750_000, 999_000,
    ]);
    const often = thin(changing(1), 100).points;
    expect(often.length).toBeLessThanOrEqual(100);
    expect(often.length).toBeGreaterThan(40);
  });

  it('keeps its points while a window of constant length moves on', () => {
    const all = Array.from({ length: 40_000 }, (_, index): SeriesPoint => [
      1_790_000_000_000 + index * 100 + (index % 3),
      Math.sin(index / 77) * (1 + (index % 13)),
    ]);
    const before = thin(all.slice(0, 36_000), 400).points;
    const after = new Set(thin(all.slice(100, 36_100), 400).points.map(([atMs]) => atMs));
    const shared = before.filter(([atMs]) => after.has(atMs));
    // The window moves by 10 s of an hour: only the first interval and the two ends may differ.
    expect(shared.length).toBeGreaterThanOrEqual(before.length - 6);
  });
});

describe('the length of the intervals', () => {
  it('is a whole number of ms for which the intervals touched are few enough', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -1e13, max: 1e13 }),
        fc.integer({ min: 0, max: 1e12 }),
        fc.integer({ min: 6, max: 20_000 }),
        (firstMs, spanMs, most) => {
          const widthMs = bucketWidthMs(firstMs, firstMs + spanMs, most);
          expect(Number.isInteger(widthMs) && widthMs >= 1).toBe(true);
          const touched = Math.floor((firstMs + spanMs) / widthMs) - Math.floor(firstMs / widthMs) + 1;
          expect(2 * touched + 2).toBeLessThanOrEqual(most);
        },
      ),
    );
  });

  it('is at most an eighth longer than needed', () => {
    fc.assert(
      fc.property(fc.integer({ min: 8, max: 1e12 }), (needed) => {
        const widthMs = bucketWidthMs(0, needed - 1, 6); // two intervals allowed: needed = span + 1
        expect(widthMs).toBeGreaterThanOrEqual(needed);
        expect(widthMs).toBeLessThanOrEqual(needed * 1.125);
      }),
    );
  });
});
