/** Scatter of single readings as they show it themselves. */
export interface ReadingScatter {
  /** Standard deviation, m of diameter; 0 before anything was seen. */
  readonly m: number;
  readonly count: number;
}

export const noScatterSeen: ReadingScatter = { m: 0, count: 0 };

/** Half of all normally distributed values lie within this many standard deviations. */
const medianOfNormal = 0.6745;
/** The estimate settles over about this many readings, and then scatters by a tenth. Own choice. */
const settlesOver = 50;

/**
 * The scatter after one more reading, by following the median of the offsets: a step up where the reading lies beyond it, a step down where within
 * (stochastic approximation, H. Robbins and S. Monro 1951, Ann. Math. Stat. 22, 400), so that an outlier weighs no more than any other reading.
 * @param scatter what is known so far.
 * @param offsetM how far the reading lies off what was expected, m of diameter, divided by sqrt(1 + share of the expectation's own variance).
 * @param statedM what the gauge is said to scatter, m: where it begins.
 */
export function scatterAfter(scatter: ReadingScatter, offsetM: number, statedM: number): ReadingScatter {
  const before = scatter.count === 0 ? statedM : scatter.m;
  const step = Math.max(1 / settlesOver, 1 / (2 + scatter.count));
  const beyond = Math.abs(offsetM) > medianOfNormal * before;
  return { m: before * (1 + (beyond ? step : -step)), count: Math.min(settlesOver, scatter.count + 1) };
}

/**
 * The scatter to reckon with, m: as stated, or as seen where that is more. Less is not believed: slow errors and the steps of a coarse scale do
 * not show between readings.
 */
export function scatterToUse(scatter: ReadingScatter, statedM: number): number {
  return Math.max(statedM, scatter.m);
}
