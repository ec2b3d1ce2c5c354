/**
 * Units at the edges, quantities with their uncertainty, reasons, and physical constants with their sources.
 *
 * Everything inside the project is SI; a conversion happens once on the way in ({@link toSi}) and once on the way out ({@link fromSi}, or
 * {@link display} for people). Units are named by their UCUM codes (https://ucum.org): case sensitive, `m/min`, `kN/m`, `[lbf_av]/[in_i]`
 * (pound-force per inch), `{rev}/min`. The table is fixed and holds what winders really send; a code outside it is refused, and
 * {@link lookUpUnit} names the nearest one that is meant.
 *
 * In: numbers with a UCUM code. Out: SI numbers; text for people. Factors are fractions of whole numbers from the defining agreements,
 * so 1200 m/min is exactly 20 m/s, 3000 /min exactly 50 1/s, 4 kN/m exactly 4000 N/m.
 * A quantity that is not known is a tagged value with a reason, never NaN, null or the last good value.
 * Sources: UCUM; SI Brochure, 9th edition; international yard and pound agreement 1959; JCGM 100:2008 for uncertainty.
 */
export { type Reason, reason } from './reason.js';
export { type Known, type Quantity, type Unknown, known, unknown, valueOf } from './quantity.js';
export { type Dimension, type Unit, units } from './unit-table.js';
export { type UnitLookup, lookUpUnit } from './look-up-unit.js';
export { fromSi, toSi } from './convert.js';
export { type DisplayKind, type DisplaySystem, type Displayed, display } from './display.js';
export { nearestWord } from './nearest-word.js';
export {
  dryAirGasConstantJPerKgK,
  standardAtmospherePa,
  waterVapourGasConstantJPerKgK,
  zeroCelsiusK,
} from './constants.js';
