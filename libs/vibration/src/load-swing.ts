import { type Quantity, known, reason, unknown } from '@edge-margin/units';
import { isOpenAt, nipIsOpen } from './static-force.js';

/** Fewer samples say next to nothing about the minimum. Own choice. */
const fewestSamples = 5;

/** The nip load at one end within a block. */
export interface LoadBlock {
  /** N/m. */
  readonly meanNPerM: number;
  /** Smallest sample, N/m. */
  readonly minimumNPerM: number;
  readonly sampleCount: number;
  /** Standard uncertainty of one sample, N/m, >= 0. */
  readonly uncertaintyNPerM: number;
}

/**
 * Swing of the nip load in a block of samples: `s = (mean - minimum) / mean`; 1 = the load reached 0. Uncertainty with independent samples:
 * `u(s) = u/mean sqrt(1 + (1 - s)^2 / n)` (JCGM 100:2008, 5.1.2).
 *
 * Limits, and none of them shows in u: samples miss the trough. Of a sine met at random phases five samples reach 92 % of its swing at the median and only 15 %
 * in one block of twenty (own derivation: n phases all miss the trough by d with the chance (1 - d/pi)^n). A swing in step with the sampling (an alias of the rotation) may
 * be missed for as long as it stays in step; anything faster than half the sampling rate may. So s from samples is a lower bound, and a swing measured at the
 * source within the block goes before it. Scatter of the sensor works the other way: n quiet samples show 1.2 u (n = 5) to 2.5 u (n = 100) of swing.
 * @param block mean above 0.1 N/m, else the nip is open; at least 5 samples, else the swing is unknown.
 */
export function loadSwing({ meanNPerM, minimumNPerM, sampleCount, uncertaintyNPerM }: LoadBlock): Quantity {
  if (sampleCount < fewestSamples) {
    const text = `${sampleCount} samples of the nip load are too few to tell its swing`;
    return unknown(reason('too-few-load-samples', text, { sampleCount, fewestSamples }));
  }
  if (isOpenAt(meanNPerM)) return nipIsOpen(meanNPerM);
  const swing = Math.max(0, (meanNPerM - minimumNPerM) / meanNPerM);
  return known(swing, (uncertaintyNPerM / meanNPerM) * Math.sqrt(1 + (1 - swing) ** 2 / sampleCount));
}
