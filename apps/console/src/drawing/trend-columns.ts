/** Points of one line in order of time: `[atMs, value]`; a null value is a gap. */
export type TrendPoints = readonly (readonly [number, number | null])[];

/**
 * A line as it is drawn: where nothing came for longer than `gapMs`, a null breaks it, so that no straight line pretends that something was known.
 */
export function withGaps(points: readonly (readonly [number, number])[], gapMs: number): TrendPoints {
  const broken: (readonly [number, number | null])[] = [];
  points.forEach(([atMs, value], at) => {
    const before = points[at - 1];
    if (before !== undefined && atMs - before[0] > gapMs) broken.push([before[0] + 1, null]);
    broken.push([atMs, Number.isFinite(value) ? value : null]);
  });
  return broken;
}

/** How long a silence breaks a line: some seconds, or some steps of a record that was thinned over its span. */
export function gapFor(thinned: boolean, spanMs: number, maxPoints: number): number {
  const quietMs = 15_000;
  return thinned ? Math.max(quietMs, (6 * spanMs) / maxPoints) : quietMs;
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

/** The range to draw: all values, at least `atLeast`, never empty. */
export function trendRange(
  lines: readonly TrendPoints[],
  atLeast: readonly [number, number] | null,
): readonly [number, number] {
  const values = lines.flatMap((line) => line.map(([, value]) => value)).filter((value) => value !== null);
  const low = values.reduce((least, value) => Math.min(least, value), atLeast?.[0] ?? Infinity);
  const high = values.reduce((most, value) => Math.max(most, value), atLeast?.[1] ?? -Infinity);
  if (low > high) return [0, 1];
  if (atLeast !== null) return [low, high];
  const room = Math.max((high - low) * 0.1, Math.abs(high) * 0.02, 1e-9);
  return [low - room, high + room];
}
