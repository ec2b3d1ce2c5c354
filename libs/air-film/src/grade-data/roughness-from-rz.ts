import type { Quantity } from '@edge-margin/units';
import { type Conversion, convertFigure } from './conversion.js';

export const rzConversion: Conversion = {
  figure: 'roughness Rz',
  quantity: 'peak-based roughness',
  unit: 'm',
  goodFor: { low: 0.05e-6, high: 10e-6 },
  uncertaintyRatio: 0.4,
  readableFor: { low: 0.01e-6, high: 100e-6 },
  wideUncertaintyRatio: 0.8,
  source: 'common practice for film, no document; ranges and uncertainty: own estimates',
};

/**
 * The roughness that counts for film, of one face, from its height Rz, m: `sigma = Rz/3`.
 *
 * Film and foil are smooth with few high peaks (anti-block particles 0.5 to 2 um high), and the peaks keep the faces apart. Rq hardly sees them, so that `3 x Rq` calls a wrap
 * floating that its peaks still hold; with Rz/3 the boundary film `3 sigma` is the height of the peaks. Common practice, no source; 40 %. For paper use Rq.
 * @param rzM mean height of the profile, peak to valley, m (not um), > 0.
 * @param readingUncertaintyRatio relative standard uncertainty of the reading, 0 to 2.
 * @throws RangeError if the height is not finite or not above 0.
 */
export function peakRoughnessFromRz(rzM: number, readingUncertaintyRatio = 0): Quantity {
  return convertFigure(rzConversion, { name: 'rzM', value: rzM, readingUncertaintyRatio }, (rz) => rz / 3);
}
