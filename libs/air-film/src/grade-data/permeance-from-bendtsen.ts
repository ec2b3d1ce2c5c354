import type { Quantity } from '@edge-margin/units';
import { type Conversion, convertFigure } from './conversion.js';

/** Permeance per flow, m/(Pa s) per mL/min: 10 cm2 at 1.47 kPa. */
const permeancePerFlow = 0.01134e-6;

export const bendtsenConversion: Conversion = {
  figure: 'Bendtsen air flow',
  quantity: 'permeance',
  unit: 'mL/min',
  goodFor: { low: 30, high: 1330 },
  uncertaintyRatio: 0.08,
  readableFor: { low: 2, high: 5000 },
  wideUncertaintyRatio: 0.3,
  source:
    'ISO 5636-3:2013, scope: 0.35 to 15 um/(Pa s); factor from the apparatus (own arithmetic; the standard prints 0.0113, from memory); readable range and uncertainties: own estimates',
};

/**
 * Air permeance from the Bendtsen air flow, m/(Pa s): `P = 0.01134 um/(Pa s) x q/(mL/min)`.
 *
 * The factor is 1 mL/min/(10 cm2 x 1.47 kPa) (own arithmetic from the apparatus of ISO 5636-3). Good for 30 to 1330 mL/min; outside 30 %, unknown below 2 and above
 * 5000 mL/min. This is the air that passes *through* the sheet; the Bendtsen roughness in the same unit is another thing.
 * @param bendtsenMlPerMin flow through 10 cm2, mL/min, > 0.
 * @param readingUncertaintyRatio relative standard uncertainty of the reading, 0 to 2.
 * @throws RangeError if the flow is not finite or not above 0.
 */
export function permeanceFromBendtsen(bendtsenMlPerMin: number, readingUncertaintyRatio = 0): Quantity {
  const figure = { name: 'bendtsenMlPerMin', value: bendtsenMlPerMin, readingUncertaintyRatio };
  return convertFigure(bendtsenConversion, figure, (flow) => permeancePerFlow * flow);
}
