/** Points of one line in order of time: `[atMs, value]`; a null value is a gap. */
export type TrendPoints = readonly (readonly [number, number | null])[];

/** A time of which it is recorded that something is missing. */
export interface MissingTime {
  readonly fromMs: number;
  readonly toMs: number;
}

/** Where a line is broken. */
export interface LineBreaks {
  /** A step longer than this is a hole, ms. */
  readonly quietMs: number;
  /** The usual step, ms; null where there are too few points for one. */
  readonly usualMs: number | null;
  readonly missing: readonly MissingTime[];
}

/**
 * A line as it is drawn: a null breaks it where nothing came for longer than it bears, and where a step that is longer than usual spans a time
 * of which it is recorded that something is missing. No straight line pretends that something was known.
 */
export function withGaps(points: readonly (readonly [number, number])[], breaks: LineBreaks): TrendPoints {
  const broken: (readonly [number, number | null])[] = [];
  points.forEach(([atMs, value], at) => {
    const before = points[at - 1];
    if (before !== undefined && isHole(before[0], atMs, breaks)) broken.push([before[0] + 1, null]);
    broken.push([atMs, Number.isFinite(value) ? value : null]);
  });
  return broken;
}

function isHole(fromMs: number, toMs: number, { quietMs, usualMs, missing }: LineBreaks): boolean {
  const stepMs = toMs - fromMs;
  if (stepMs > quietMs) return true;
  if (usualMs === null || stepMs <= 1.5 * usualMs) return false;
  return missing.some((gap) => gap.fromMs < toMs && gap.toMs > fromMs);
}

/** The step between two points that half of the steps keep below, ms. */
export function usualStepMs(points: readonly (readonly [number, unknown])[]): number | null {
  const steps = points.slice(1).map(([atMs], at) => atMs - (points[at]?.[0] ?? atMs));
  return steps.sort((a, b) => a - b)[Math.floor(steps.length / 2)] ?? null;
}

/** Steps that a line bears before it breaks. */
const bornePeriods = 5;
/** A network's hiccup is no hole, ms; nor is a pause of this length in a line of which no period is known. */
const hiccupMs = 3_000;
const pauseMs = 15_000;

/** How long a silence breaks a line: a few of its own steps. Where it was thinned over its span these are uneven: one interval may be empty. */
export function quietFor(
  usualMs: number | null,
  thinned: boolean,
  spanMs: number,
  maxPoints: number,
): number {
  if (usualMs === null) return pauseMs;
  return Math.max(hiccupMs, bornePeriods * usualMs, thinned ? (6 * spanMs) / maxPoints : 0);
}

/** Places of points with a hole on either side, which no line would show. */
export function lonePoints(column: readonly (number | null | undefined)[]): readonly number[] {
  const own = column.flatMap((value, at) => (value === undefined ? [] : [{ value, at }]));
  return own.flatMap(({ value, at }, index) =>
    value !== null && isNothing(own[index - 1]?.value) && isNothing(own[index + 1]?.value) ? [at] : [],
  );
}

function isNothing(value: number | null | undefined): boolean {
  return value === null || value === undefined;
}

/** Lines on one common time axis (seconds): a value, null for a gap, undefined where the line has no point of its own. */
export type TrendColumns = [number[], ...(number | null | undefined)[][]];

export function trendColumns(lines: readonly TrendPoints[]): TrendColumns {
  const times = [...new Set(lines.flatMap((line) => line.map(([atMs]) => atMs)))].sort((a, b) => a - b);
  const columns = lines.map((line) => {
    const values = new Map(line);
    return times.map((atMs) => values.get(atMs));
  });
  return [times.map((atMs) => atMs / 1000), ...columns];
}

/** Adds the newest point, breaks the line where it was silent, and lets go what is older than `fromMs`. */
export function appended(
  line: TrendPoints,
  atMs: number,
  value: number | null,
  fromMs: number,
  gapMs: number,
): TrendPoints {
  const last = line.at(-1);
  if (last !== undefined && atMs <= last[0]) return line;
  const broken =
    last !== undefined && last[1] !== null && atMs - last[0] > gapMs
      ? [...line, [last[0] + 1, null] as const]
      : line;
  const kept = broken.filter(([at]) => at >= fromMs);
  return [...kept, [atMs, value]];
}

/** The range to draw: all values, of the lines and others, at least `atLeast`, never empty. */
export function trendRange(
  lines: readonly TrendPoints[],
  atLeast: readonly [number, number] | null,
  others: readonly number[] = [],
): readonly [number, number] {
  const values = [
    ...lines.flatMap((line) => line.map(([, value]) => value)).filter((value) => value !== null),
    ...others,
  ];
  const low = values.reduce((least, value) => Math.min(least, value), atLeast?.[0] ?? Infinity);
  const high = values.reduce((most, value) => Math.max(most, value), atLeast?.[1] ?? -Infinity);
  if (low > high) return [0, 1];
  if (atLeast !== null) return [low, high];
  const room = Math.max((high - low) * 0.1, Math.abs(high) * 0.02, 1e-9);
  return [low - room, high + room];
}
