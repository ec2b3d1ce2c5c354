import type { Pair } from './ends.js';
import type { NipMechanics } from './nip-mechanics.js';
import type { NipPeriod } from './nip-motion.js';

/** What one sample period looked like at each end of the nip. */
export interface NipSummary {
  /** True contact force, mean over the period, N. */
  readonly meanN: Pair;
  /** Share of time without contact. */
  readonly lostRatio: Pair;
  /** Largest acceleration towards the roll, m/s2, and the inertia force with it over the closing force. */
  readonly peakTowardsMPerS2: Pair;
  readonly inertiaRatio: Pair;
  /** (mean - minimum) / mean of the contact force. */
  readonly swingRatio: Pair;
  /** The same, and the mean, as load cells outboard of part of the mass see it. */
  readonly cellMeanN: Pair;
  readonly cellSwingRatio: Pair;
}

export const OPEN_NIP: NipSummary = {
  meanN: [0, 0],
  lostRatio: [0, 0],
  peakTowardsMPerS2: [0, 0],
  inertiaRatio: [0, 0],
  swingRatio: [0, 0],
  cellMeanN: [0, 0],
  cellSwingRatio: [0, 0],
};

/** Load cells read `N - m_inboard a` (a away from the roll positive). */
export function nipSummary(
  { trace, closingN }: NipPeriod,
  { massKg, inboardMassKg }: NipMechanics,
): NipSummary {
  const loads = trace.loadN;
  const cells = loads.map((load, end) =>
    load.map((n, i) => n - inboardMassKg * (trace.accelerationMPerS2[end as 0 | 1][i] as number)),
  ) as unknown as readonly [Float64Array, Float64Array];
  const peaks = each((end) => Math.max(0, ...trace.accelerationMPerS2[end].map((a) => -a)));
  return {
    meanN: each((end) => mean(loads[end])),
    lostRatio: each((end) => loads[end].reduce((sum, n) => sum + (n <= 0 ? 1 : 0), 0) / loads[end].length),
    peakTowardsMPerS2: peaks,
    inertiaRatio: each((end) => (closingN[end] > 0 ? (massKg * peaks[end]) / closingN[end] : 0)),
    swingRatio: each((end) => swing(loads[end])),
    cellMeanN: each((end) => mean(cells[end])),
    cellSwingRatio: each((end) => swing(cells[end])),
  };
}

function each(of: (end: 0 | 1) => number): Pair {
  return [of(0), of(1)];
}

function mean(list: Float64Array): number {
  return list.reduce((sum, value) => sum + value, 0) / list.length;
}

function swing(list: Float64Array): number {
  const middle = mean(list);
  return middle > 0 ? (middle - Math.min(...list)) / middle : 0;
}
