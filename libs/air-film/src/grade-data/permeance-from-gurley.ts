import type { Quantity } from '@edge-margin/units';
import { type Conversion, convertFigure } from './conversion.js';

/** Permeance times time, m/Pa: 100 mL through 6.45 cm2 at 1.22 kPa. */
const permeanceTimeMPerPa = 127e-6;

/** The other factor in use, m/Pa. */
const otherPermeanceTimeMPerPa = 135.3e-6;

/** Which of the two factors a figure was meant for is not told: the difference as the half-width of an even distribution (JCGM 100:2008, 4.3.7). */
const factorUncertaintyRatio = (otherPermeanceTimeMPerPa / permeanceTimeMPerPa - 1) / Math.sqrt(3);

/** Scatter of sheets and instruments, relative. Own estimate. */
const methodUncertaintyRatio = 0.08;

export const gurleyConversion: Conversion = {
  figure: 'Gurley air resistance',
  quantity: 'permeance',
  unit: 's',
  goodFor: { low: 1.27, high: 1270 },
  uncertaintyRatio: Math.hypot(factorUncertaintyRatio, methodUncertaintyRatio),
  readableFor: { low: 0.3, high: 20_000 },
  wideUncertaintyRatio: 0.3,
  source:
    'ISO 5636-5:2013, scope: 0.1 to 100 um/(Pa s); factor from the apparatus (own arithmetic); 135.3 from the notes to TAPPI T 460, from memory; readable range and uncertainties: own estimates',
};

/**
 * Air permeance from the Gurley air resistance, m/(Pa s): `P = 127 um/Pa / t`.
 *
 * The factor is 100 mL/(6.42 cm2 x 1.22 kPa) = 127.7 um/Pa, or 127.05 with a square inch (own arithmetic from the apparatus of ISO 5636-5). 135.3 circulates too;
 * the 6.5 % between them is in the uncertainty. Good for 1.27 to 1270 s; slower sheets leak at the clamp as much as they let through, faster ones are not
 * much against the instrument's own resistance: 30 % there, unknown below 0.3 s and above 20 000 s.
 * @param gurleyS time for 100 mL, s, > 0.
 * @param readingUncertaintyRatio relative standard uncertainty of the reading, 0 to 2.
 * @throws RangeError if the time is not finite or not above 0.
 */
export function permeanceFromGurley(gurleyS: number, readingUncertaintyRatio = 0): Quantity {
  const figure = { name: 'gurleyS', value: gurleyS, readingUncertaintyRatio };
  return convertFigure(gurleyConversion, figure, (timeS) => permeanceTimeMPerPa / timeS);
}
