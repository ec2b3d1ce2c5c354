import { airInputNames, airInputs, type Sensitivities } from './air-inputs.js';
import { type AirTerms, airTerms } from './air-terms.js';
import { filmOfLastWrap } from './boundary-excess.js';
import type { PointNumbers } from './point-numbers.js';
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
    const more = scaledTerms(point, terms, key, Math.exp(step));
    const less = scaledTerms(point, terms, key, Math.exp(-step));
    film[name] =
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

/** Inputs that have no part in the nip, whose terms are the dearest to compute. */
const outsideNip: ReadonlySet<keyof PointNumbers> = new Set([
  'tensionNPerM',
  'combinedRoughnessM',
  'permeanceMPerPaS',
  'widthM',
]);

function scaledTerms(
  point: PointNumbers,
  terms: AirTerms,
  key: keyof PointNumbers,
  factor: number,
): AirTerms {
  const scaled = { ...point, [key]: point[key] * factor };
  return outsideNip.has(key) ? airTerms(scaled, terms.nip) : airTerms(scaled);
}
