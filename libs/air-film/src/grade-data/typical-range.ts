import { type Known, known } from '@edge-margin/units';
import type { FigureRange } from './conversion.js';

/**
 * The middle of a typical range with the uncertainty that the range implies: `sqrt(low x high)`, relative `ln(high/low)/sqrt(12)`.
 *
 * The logarithm is taken as evenly distributed between the ends (JCGM 100:2008, 4.3.7): typical ranges span factors, not differences. A range of 0 to 0 is exactly 0.
 * @param range low > 0, high >= low, or both 0.
 * @throws RangeError otherwise.
 */
export function typicalValue({ low, high }: FigureRange): Known {
  if (low === 0 && high === 0) return known(0);
  if (!(low > 0 && high >= low && Number.isFinite(high))) {
    throw new RangeError(`range: 0 < low <= high is needed, got low ${low}, high ${high}`);
  }
  const value = Math.sqrt(low * high);
  return known(value, (value * Math.log(high / low)) / Math.sqrt(12));
}
