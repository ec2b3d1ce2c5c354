import { airInputNames, airInputs, type Sensitivities } from './air-inputs.js';
import { type AirTerms, airTerms } from './air-terms.js';
import { filmOfLastWrap } from './boundary-excess.js';
import type { PointNumberKey, PointNumbers } from './point-numbers.js';
import { woundInFilm } from './wound-in-film.js';

/** Half the width of the central difference, on the logarithm: error of second order about 1e-7, rounding about 1e-12. */
const step = 1e-4;

/** How results answer to their inputs at one operating point. */
export interface PointSensitivities {
  /** d ln(film)/d ln(speed). */
  readonly filmToSpeed: number;
  readonly film: Sensitivities;
  /** Undefined where there is no critical speed. */
  readonly criticalSpeed: Sensitivities | undefined;
}

/**
 * d ln(film)/d ln(input) at the point's speed and d ln(Vcrit)/d ln(input), by central differences (JCGM 100:2008, 5.1.3).
 *
 * The critical speed needs no second solution: along `E(x, Vcrit) = (film of the last wrap)/(boundary film) = 1` its sensitivity is `-(dE/d ln x)/(dE/d ln V)`. On the change-over from nip to foil film each
 * is the mean of both sides.
 */
export function sensitivities(
  point: PointNumbers,
  terms: AirTerms,
  criticalSpeedMPerS: number | undefined,
): PointSensitivities {
  const film: Record<string, number> = {};
  const critical: Record<string, number> = {};
  const excessToSpeed =
    criticalSpeedMPerS === undefined
      ? 1
      : slope((factor) => filmOfLastWrap(terms, factor * criticalSpeedMPerS) / terms.boundaryFilmM);
  for (const name of airInputNames) {
    const { key } = airInputs[name];
    const idle = point[key] === 0 || (terms.nip === null && ofNip.has(key));
    if (idle || outsideFilm.has(key)) film[name] = 0;
    if (idle) {
      critical[name] = 0;
      continue;
    }
    const more = scaledTerms(point, terms, key, Math.exp(step));
    const less = scaledTerms(point, terms, key, Math.exp(-step));
    film[name] ??=
      Math.log(woundInFilm(more, point.speedMPerS) / woundInFilm(less, point.speedMPerS)) / (2 * step);
    if (criticalSpeedMPerS === undefined) continue;
    const difference =
      filmOfLastWrap(more, criticalSpeedMPerS) / more.boundaryFilmM -
      filmOfLastWrap(less, criticalSpeedMPerS) / less.boundaryFilmM;
    critical[name] = 0 - difference / (2 * step) / excessToSpeed;
  }
  return {
    filmToSpeed: slope((factor) => Math.log(woundInFilm(terms, factor * point.speedMPerS))),
    film: film as Sensitivities,
    criticalSpeed: criticalSpeedMPerS === undefined ? undefined : (critical as Sensitivities),
  };
}

function slope(value: (factor: number) => number): number {
  return (value(Math.exp(step)) - value(Math.exp(-step))) / (2 * step);
}

/** Inputs that decide what becomes of a film, not how thick it is laid down. */
const outsideFilm: ReadonlySet<PointNumberKey> = new Set([
  'combinedRoughnessM',
  'permeanceMPerPaS',
  'widthM',
]);

/** Inputs that mean nothing without a nip. */
const ofNip: ReadonlySet<PointNumberKey> = new Set(['nipLoadNPerM', 'coverModulusPa', 'nipRollerDiameterM']);

/** Inputs that have no part in the nip, whose terms are the dearest to compute. */
const outsideNip: ReadonlySet<PointNumberKey> = new Set([
  'tensionNPerM',
  'combinedRoughnessM',
  'permeanceMPerPaS',
  'widthM',
]);

function scaledTerms(point: PointNumbers, terms: AirTerms, key: PointNumberKey, factor: number): AirTerms {
  const scaled = { ...point, [key]: point[key] * factor };
  return outsideNip.has(key) ? airTerms(scaled, terms) : airTerms(scaled);
}
