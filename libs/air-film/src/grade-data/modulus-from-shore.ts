import { type Known, known, type Quantity, reason, unknown } from '@edge-margin/units';
import { inRange } from '../in-range.js';

/** Young's modulus of a rubber as far as its hardness tells: a band, because the sources disagree. */
export interface ModulusBand {
  readonly lowPa: number;
  /** Geometric mean of the two sources. */
  readonly midPa: number;
  readonly highPa: number;
}

/** Factor between mid and the ends of the band: both sources lie inside from 20 to 90 Shore A. */
const bandFactor = 1.4;
const uncertaintyRatio = 0.4;

/** Hardness for which the scale is made; below use Shore 00, above Shore D. Common practice. */
const usable = { low: 20, high: 90 };

/**
 * Young's modulus from Shore A hardness, Pa, with 40 % standard uncertainty: the middle of {@link modulusBandFromShore}.
 * @param shoreA hardness, 0 to 100.
 * @returns unknown below 20 and above 90, where the scale does not tell.
 * @throws RangeError outside 0 to 100.
 */
export function modulusFromShore(shoreA: number): Quantity {
  const band = modulusBandFromShore(shoreA);
  return band === undefined ? outsideScale(shoreA) : known(band.midPa, uncertaintyRatio * band.midPa);
}

/**
 * The band in which Young's modulus lies by Shore A hardness; undefined below 20 and above 90.
 *
 * Two sources, E in MPa and S in Shore A: Gent 1958 `0.0981 (56 + 7.62336 S)/(0.137505 (254 - 2.54 S))` (from memory) and Ruess `log10 E = 0.0235 S - 0.6403` (as rubber makers quote it,
 * for 20 to 80). They agree at 30 Shore A (1.14, 1.16 MPa) and differ by 1.8 at 70 (5.5, 10.1 MPa). Mid is their geometric mean, the band mid/1.4 to mid x 1.4.
 *
 * A transcription error circulates: several pages take Ruess' constants with the natural exponent, `exp(0.0235 S - 0.6403)`, and get 2.16 MPa at 60 Shore A
 * instead of 5.88. It is not part of the band.
 *
 * Static modulus at small strain; a running nip sees more, {@link dynamicModulus}. Between 80 and 90 Ruess is extrapolated. The film depends little on it (E^-0.4),
 * contact stiffness and indentation fully: measure where they matter.
 * @param shoreA hardness, 0 to 100.
 * @throws RangeError outside 0 to 100.
 */
export function modulusBandFromShore(shoreA: number): ModulusBand | undefined {
  inRange({ name: 'shoreA', value: shoreA, unit: 'Shore A', low: 0, high: 100 });
  if (shoreA < usable.low || shoreA > usable.high) return undefined;
  const midPa = Math.sqrt(gentPa(shoreA) * ruessPa(shoreA));
  return { lowPa: midPa / bandFactor, midPa, highPa: midPa * bandFactor };
}

function gentPa(shoreA: number): number {
  return (0.0981e6 * (56 + 7.62336 * shoreA)) / (0.137505 * (254 - 2.54 * shoreA));
}

function ruessPa(shoreA: number): number {
  return 1e6 * 10 ** (0.0235 * shoreA - 0.6403);
}

function outsideScale(shoreA: number): Quantity {
  const scale = shoreA < usable.low ? 'Shore 00' : 'Shore D';
  const text = `Shore A tells no modulus at ${shoreA}, only from ${usable.low} to ${usable.high}: have ${scale} or the modulus itself measured`;
  return unknown(reason('figure-outside-method', text, { shoreA, ...usable }));
}

/** Dynamic over static modulus of rubber at 10 to 40 Hz: 1.5 to 3 (common practice, no source). */
const dynamicRatio = { low: 1.5, high: 3 };

/**
 * Modulus of a rubber cover under vibration of 10 to 40 Hz, Pa: 1.5 to 3 times the static one (common practice, no source).
 *
 * Value: the geometric mean, 2.12; uncertainty: the range as an even distribution of the logarithm (`ln 2/sqrt(12)` = 20 %), with that of the static modulus in quadrature. Use it for contact stiffness
 * and bounce. Load and indentation of a standing nip go with the static modulus; in a running nip each spot is pressed for a millisecond, so the truth lies between or above.
 */
export function dynamicModulus(staticModulusPa: Known): Known {
  const valuePa = staticModulusPa.value * Math.sqrt(dynamicRatio.low * dynamicRatio.high);
  const ownRatio = Math.log(dynamicRatio.high / dynamicRatio.low) / Math.sqrt(12);
  const staticRatio = staticModulusPa.uncertainty / staticModulusPa.value;
  return known(valuePa, valuePa * Math.hypot(ownRatio, staticRatio));
}
