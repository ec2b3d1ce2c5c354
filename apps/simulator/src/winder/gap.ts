import { power } from '../math/portable-math.js';
import type { Grade } from '../scenario/scenario-schema.js';

type Peaks = Grade['peaks'];

const LEAST_SHARE = 0.02; // of the reach: peaks are never flattened further

/** Pressure that the touching peaks carry at a gap, Pa: `p0 (1 - gap/reach)^n`, nothing beyond their reach. */
export function peakPressurePa(peaks: Peaks, gapM: number): number {
  if (gapM >= peaks.reachM) return 0;
  return peaks.pressurePa * power(1 - gapM / peaks.reachM, peaks.exponent);
}

/** Gap at which the peaks alone carry a pressure. */
export function gapOnPeaksM(peaks: Peaks, pressurePa: number): number {
  if (pressurePa <= 0) return peaks.reachM;
  const share =
    pressurePa >= peaks.pressurePa ? 0 : 1 - power(pressurePa / peaks.pressurePa, 1 / peaks.exponent);
  return peaks.reachM * Math.max(LEAST_SHARE, share);
}

export interface GapLoad {
  /** Pressure of all wraps above, Pa. */
  readonly pressurePa: number;
  /** Air in the gap, as thickness at ambient pressure, m. */
  readonly airM: number;
  readonly ambientPa: number;
}

/**
 * Gap between two wraps that hold air and touch on peaks: `peaks(gap) + pa (air/gap - 1) = pressure`, isothermal gas.
 * Where the air is less than what the peaks leave room for, the peaks alone set the gap. Newton's method from the left,
 * where it cannot overshoot: the function falls and is convex.
 */
export function gapM(peaks: Peaks, { pressurePa, airM, ambientPa }: GapLoad): number {
  const onAir = (airM * ambientPa) / (ambientPa + pressurePa);
  if (onAir >= peaks.reachM) return onAir;
  const onPeaks = gapOnPeaksM(peaks, pressurePa);
  if (airM <= onPeaks) return onPeaks;
  let gap = Math.max(onPeaks, onAir);
  for (let n = 0; n < 40 && gap < peaks.reachM; n += 1) {
    const excess = peakPressurePa(peaks, gap) + ambientPa * (airM / gap - 1) - pressurePa;
    const slope =
      (-peaks.exponent * peakPressurePa(peaks, gap)) / (peaks.reachM - gap) -
      (ambientPa * airM) / (gap * gap);
    const step = -excess / slope;
    gap += step;
    if (Math.abs(step) < 1e-9 * gap) break;
  }
  return Math.max(gap, onPeaks);
}
