import type { Point } from './block-row.js';

/** Readings that begin a stretch. Own choice; the roll tracker confirms a jump by as many. */
export const confirmingCells = 5;
/** Readings on a line lie within this many deviations of it. Own choice. */
const agreeWithin = 4;
/** And the sum of their squares within so many of its own deviations. Own choice. */
const squareDeviations = 2.5;

/**
 * The last readings that lie on one line: all that are given, or the last five of them, or none.
 * The line is the median of the slopes of all pairs (H. Theil 1950; P. K. Sen 1968, J. Am. Stat. Assoc. 63, 1379).
 * @param points readings in the order they came.
 * @param deviation standard deviation of the excess of a single reading.
 */
export function agreeingPoints(points: readonly Point[], deviation: number): readonly Point[] {
  for (const some of [points, points.slice(-confirmingCells)]) {
    if (some.length >= confirmingCells && onOneLine(some, deviation)) return some;
  }
  return [];
}

function onOneLine(points: readonly Point[], deviation: number): boolean {
  const slope = median(pairSlopes(points));
  if (slope === null) return false;
  const levels = points.map(([position, excess]) => excess - slope * position);
  const level = median(levels) ?? 0;
  const deviations = levels.map((each) => (each - level) / deviation);
  const square = deviations.reduce((sum, each) => sum + each ** 2, 0);
  return Math.max(...deviations.map(Math.abs)) <= agreeWithin && square <= mostSquare(points.length - 2);
}

/** Chi-squared with so many degrees of freedom has this mean and variance; a step between two level pieces, taken for a slope, goes beyond. */
function mostSquare(degrees: number): number {
  return degrees + squareDeviations * Math.sqrt(2 * degrees);
}

function pairSlopes(points: readonly Point[]): readonly number[] {
  return points.flatMap(([position, excess], index) =>
    points
      .slice(index + 1)
      .filter(([other]) => other !== position)
      .map(([other, otherExcess]) => (otherExcess - excess) / (other - position)),
  );
}

function median(values: readonly number[]): number | null {
  const sorted = [...values].sort((a, b) => a - b);
  const [low, high] = [sorted[Math.ceil(sorted.length / 2) - 1], sorted[Math.floor(sorted.length / 2)]];
  return low === undefined || high === undefined ? null : (low + high) / 2;
}
