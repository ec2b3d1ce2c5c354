/**
 * How often delays fell where. Counting is an addition to a plain number; whatever it costs to show them is paid when somebody asks.
 */
export interface DelayHistogram {
  /** Counts a delay, s. One below 0 (a source's clock runs ahead) counts as 0. */
  readonly observe: (delayS: number) => void;
  /** Upper bounds of the buckets, s, rising; a last bucket without a bound follows. */
  readonly bounds: readonly number[];
  /** How many were at most the bound, for each bound, and all of them last. */
  readonly cumulative: () => readonly number[];
  readonly sumS: () => number;
  /** Begins a new span for {@link recentQuantile}, which covers the present one and the one before. */
  readonly beginSpan: () => void;
  /** Upper bound of the bucket in which the quantile of the last two spans lies, s; null where they are empty, Infinity beyond the last bound. */
  readonly recentQuantile: (ratio: number) => number | null;
}

/** @param bounds upper bounds of the buckets, s, rising */
export function delayHistogram(bounds: readonly number[]): DelayHistogram {
  const counts = new Float64Array(bounds.length + 1);
  let sumS = 0;
  let before = counts.slice();
  let atSpan = counts.slice();
  return {
    bounds,
    observe: (delayS) => {
      const delay = Math.max(0, delayS);
      let bucket = 0;
      while (bucket < bounds.length && delay > (bounds[bucket] ?? Infinity)) bucket += 1;
      counts[bucket] = (counts[bucket] ?? 0) + 1;
      sumS += delay;
    },
    cumulative: () => runningSum(counts),
    sumS: () => sumS,
    beginSpan: () => {
      before = atSpan;
      atSpan = counts.slice();
    },
    recentQuantile: (ratio) =>
      quantileOf(
        counts.map((count, bucket) => count - (before[bucket] ?? 0)),
        bounds,
        ratio,
      ),
  };
}

function runningSum(counts: Float64Array): number[] {
  let sum = 0;
  return Array.from(counts, (count) => (sum += count));
}

function quantileOf(counts: Float64Array, bounds: readonly number[], ratio: number): number | null {
  const cumulative = runningSum(counts);
  const all = cumulative.at(-1) ?? 0;
  if (all === 0) return null;
  const bucket = cumulative.findIndex((count) => count >= ratio * all);
  return bounds[bucket] ?? Infinity;
}
