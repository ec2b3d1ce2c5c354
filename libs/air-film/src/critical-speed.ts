import type { AirPoint } from './air-point.js';
import { type AirTerms, airTerms, airTermsAt } from './air-terms.js';
import { boundaryExcess, filmExcess } from './boundary-excess.js';
import { checkNumber, type PointNumbers, pointNumbers } from './point-numbers.js';
import { speedOfZeroExcess } from './speed-of-zero-excess.js';

/**
 * The critical speed is looked for up to this multiple of the machine's limit: two standard uncertainties of an uncalibrated one
 * (`exp(2 ln 2/2) = 2`), so that one just above the limit is still seen with the chance that it lies below.
 */
const searchAboveLimit = 2;

/** Highest speed at which a critical speed is looked for, m/s. */
export function highestSpeedSearched(point: PointNumbers): number {
  return searchAboveLimit * point.speedLimitMPerS;
}

/** Lowest speed at which more wraps than allowed keep a film above the boundary film, m/s; undefined if there is none up to `highestMPerS`. */
export function criticalSpeedOf(terms: AirTerms, highestMPerS: number): number | undefined {
  return speedOfZeroExcess((speedMPerS) => boundaryExcess(terms, speedMPerS), highestMPerS);
}

/** Speed at which the film as laid down, without venting, is the boundary film, m/s; undefined if there is none up to `highestMPerS`. */
export function filmCriticalSpeedOf(terms: AirTerms, highestMPerS: number): number | undefined {
  return speedOfZeroExcess((speedMPerS) => filmExcess(terms, speedMPerS), highestMPerS);
}

/**
 * The critical speed of an operating point without its uncertainty, m/s: for forecasts over many diameters. The speed of the point does not
 * matter.
 *
 * The lowest speed at which more than `floatingWrapsAllowed` outer wraps keep a film above `boundaryFactor x 3 x combined roughness`, with venting
 * through the web and to the sides included. Film and venting both change with the speed in one direction only, so there is at most one.
 * @returns undefined if there is none up to twice the speed limit.
 * @throws RangeError naming parameter, value, unit and range.
 */
export function criticalSpeed(point: AirPoint): number | undefined {
  const numbers = pointNumbers(point);
  return criticalSpeedOf(airTerms(numbers), highestSpeedSearched(numbers));
}

/**
 * {@link criticalSpeed} of one point at one diameter after another, all else as in the point: checked and computed once, but for what goes with the diameter.
 * @throws RangeError naming parameter, value, unit and range; so does the function that is returned.
 */
export function criticalSpeedByDiameter(point: AirPoint): (rollDiameterM: number) => number | undefined {
  const numbers = pointNumbers(point);
  return (rollDiameterM) => criticalSpeedAtDiameter(numbers, rollDiameterM);
}

/** The critical speed of a point whose numbers are checked, at another diameter. */
export function criticalSpeedAtDiameter(numbers: PointNumbers, rollDiameterM: number): number | undefined {
  checkNumber('rollDiameterM', rollDiameterM);
  return criticalSpeedOf(airTermsAt(numbers, rollDiameterM), highestSpeedSearched(numbers));
}

/**
 * The air-entrainment margin of an operating point without its uncertainty: `1 - V/Vcrit`, the share of the critical speed still in hand.
 * @returns undefined if there is no critical speed up to twice the speed limit.
 * @throws RangeError naming parameter, value, unit and range.
 */
export function marginAt(point: AirPoint): number | undefined {
  const critical = criticalSpeed(point);
  return critical === undefined ? undefined : 1 - point.running.speedMPerS / critical;
}
