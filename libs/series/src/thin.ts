import type { SeriesPoint, SeriesPoints } from './series-store.js';

/** Fewest points that can hold the first, the last and the extremes of two intervals. */
export const leastMaxPoints = 6;

/**
 * Thins points to those that keep the shape of the trend.
 *
 * Numbers: the first and the last point and, of every interval of equal length, the earliest lowest and the earliest highest point.
 * Every point given was measured; no peak is lost; at most `maxPoints` remain. Intervals are aligned to the epoch and their length is
 * rounded, so that a trend that moves on by a second keeps the points it has (nothing flickers).
 * Text: the first and the last point and every point where the text changes; where even those are too many, the first change of each
 * interval. A series that holds any text is treated as text.
 *
 * @param points In order of time, one per instant.
 * @param maxPoints Most points wanted, whole, at least `leastMaxPoints`.
 *
 * Source: Jugel et al., "M4", Proc. VLDB 7 (2014) 797-808: a line chart one pixel column per interval is unchanged when each interval keeps
 * its first, last, lowest and highest point. First and last of each interval are left out here: it doubles the number of intervals.
 */
export function thin(points: readonly SeriesPoint[], maxPoints: number): SeriesPoints {
  const first = points[0];
  const last = points.at(-1);
  if (points.length <= maxPoints || first === undefined || last === undefined)
    return { points, thinned: false };
  const widthMs = bucketWidthMs(first[0], last[0], maxPoints);
  const kept = points.some(([, value]) => typeof value === 'string')
    ? changesOf(points, widthMs, maxPoints)
    : extremesOf(points, widthMs).flatMap(inOrder);
  return { points: withEnds(first, kept, last), thinned: true };
}

/** The earliest lowest and the earliest highest point of one interval; the same point where there is only one. */
export interface Extremes {
  readonly low: SeriesPoint;
  readonly high: SeriesPoint;
}

/** What `thin` keeps of numbers, for a store that finds the extremes of each interval (in order of time) by itself. */
export function thinnedShape(
  first: SeriesPoint,
  extremes: readonly Extremes[],
  last: SeriesPoint,
): SeriesPoints {
  return { points: withEnds(first, extremes.flatMap(inOrder), last), thinned: true };
}

/**
 * Length of the intervals, ms, whole, >= 1: at most `(maxPoints - 2) / 2` of them, aligned to the epoch, touch `[firstMs, lastMs]`.
 * Rounded up to four significant binary digits (by at most 1/8), so that it stays the same while the range jitters.
 */
export function bucketWidthMs(firstMs: number, lastMs: number, maxPoints: number): number {
  const most = Math.floor((maxPoints - 2) / 2);
  const needed = Math.floor((lastMs - firstMs) / (most - 1)) + 1;
  const step = 2 ** Math.max(0, Math.floor(Math.log2(needed)) - 3);
  return Math.ceil(needed / step) * step;
}

function extremesOf(points: readonly SeriesPoint[], widthMs: number): readonly Extremes[] {
  const all: Extremes[] = [];
  let bucket: number | undefined;
  for (const point of points) {
    const own = Math.floor(point[0] / widthMs);
    const open = own === bucket ? all.pop() : undefined;
    all.push(open === undefined ? { low: point, high: point } : widened(open, point));
    bucket = own;
  }
  return all;
}

function widened({ low, high }: Extremes, point: SeriesPoint): Extremes {
  return { low: point[1] < low[1] ? point : low, high: point[1] > high[1] ? point : high };
}

function inOrder({ low, high }: Extremes): readonly SeriesPoint[] {
  if (low[0] === high[0]) return [low];
  return low[0] < high[0] ? [low, high] : [high, low];
}

function changesOf(
  points: readonly SeriesPoint[],
  widthMs: number,
  maxPoints: number,
): readonly SeriesPoint[] {
  const changes = points.filter((point, index) => index === 0 || point[1] !== points[index - 1]?.[1]);
  if (changes.length <= maxPoints - 2) return changes;
  const bucketOf = (point: SeriesPoint): number => Math.floor(point[0] / widthMs);
  return changes.filter((point, index) => {
    const before = changes[index - 1];
    return before === undefined || bucketOf(before) !== bucketOf(point);
  });
}

function withEnds(
  first: SeriesPoint,
  kept: readonly SeriesPoint[],
  last: SeriesPoint,
): readonly SeriesPoint[] {
  const inner = kept.filter(([atMs]) => atMs > first[0] && atMs < last[0]);
  return [first, ...inner, last];
}
