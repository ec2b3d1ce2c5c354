import type { Quantity } from '@edge-margin/units';
import { type Conversion, convertFigure } from './conversion.js';

/** Rq over Ra of heights that follow a normal distribution. */
const gaussianRatio = Math.sqrt(Math.PI / 2);

export const raConversion: Conversion = {
  figure: 'roughness Ra',
  quantity: 'rms roughness',
  unit: 'm',
  goodFor: { low: 5e-9, high: 30e-6 },
  uncertaintyRatio: 0.07,
  readableFor: { low: 1e-9, high: 100e-6 },
  wideUncertaintyRatio: 0.2,
  source:
    'normal distribution of heights: Rq = sqrt(pi/2) Ra (textbook statistics); 7 %: from 1.11 (sine) to 1.4 (few high peaks) as an even distribution; ranges: own estimates',
};

/**
 * Rms roughness Rq of one face from its average roughness Ra, m: `Rq = sqrt(pi/2) Ra = 1.25 Ra`.
 *
 * Exact for normally distributed heights; 1.11 for a sine, more than 1.25 for a smooth face with few high peaks, as film has. Ra depends on the cut-off
 * length: take both faces with the same one.
 * @param raM average roughness, m (not um), > 0.
 * @param readingUncertaintyRatio relative standard uncertainty of the reading, 0 to 2.
 * @throws RangeError if the roughness is not finite or not above 0.
 */
export function rmsRoughnessFromRa(raM: number, readingUncertaintyRatio = 0): Quantity {
  const figure = { name: 'raM', value: raM, readingUncertaintyRatio };
  return convertFigure(raConversion, figure, (ra) => gaussianRatio * ra);
}
