import { type AirInputName, airInputNames, airInputs, type Sensitivities } from './air-inputs.js';
import { type AirTerms, airTerms, airTermsAt, airTermsUnder } from './air-terms.js';
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
 * @param names the inputs that matter to whoever asks, each as dear as a step of the search for the critical speed; 0 is told of the others.
 */
export function sensitivities(
  point: PointNumbers,
  terms: AirTerms,
  criticalSpeedMPerS: number | undefined,
  names: readonly AirInputName[] = airInputNames,
): PointSensitivities {
  const film = { ...noSensitivities };
  const critical = { ...noSensitivities };
  const excessToSpeed =
    criticalSpeedMPerS === undefined
      ? 1
      : slope((factor) => filmOfLastWrap(terms, factor * criticalSpeedMPerS) / terms.boundaryFilmM);
  for (const name of names) {
    const { key } = airInputs[name];
    if (point[key] === 0 || (terms.nip === null && ofNip.has(key))) continue;
    const more = scaledTerms(point, terms, key, Math.exp(step));
    const less = scaledTerms(point, terms, key, Math.exp(-step));
    if (!outsideFilm.has(key)) {
      film[name] =
        Math.log(woundInFilm(more, point.speedMPerS) / woundInFilm(less, point.speedMPerS)) / (2 * step);
    }
    if (criticalSpeedMPerS === undefined) continue;
    const difference =
      filmOfLastWrap(more, criticalSpeedMPerS) / more.boundaryFilmM -
      filmOfLastWrap(less, criticalSpeedMPerS) / less.boundaryFilmM;
    critical[name] = 0 - difference / (2 * step) / excessToSpeed;
  }
  return {
    filmToSpeed: slope((factor) => Math.log(woundInFilm(terms, factor * point.speedMPerS))),
    film,
    criticalSpeed: criticalSpeedMPerS === undefined ? undefined : critical,
  };
}

const noSensitivities: Sensitivities = Object.fromEntries(airInputNames.map((name) => [name, 0])) as Record<
  AirInputName,
  number
>;

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

function scaledTerms(point: PointNumbers, terms: AirTerms, key: PointNumberKey, factor: number): AirTerms {
  const value = point[key] * factor;
  if (key === 'tensionNPerM') return airTermsUnder(point, terms, value);
  if (key === 'rollDiameterM') return airTermsAt(point, value);
  const scaled = { ...point, [key]: value };
  // The nip's terms are the dearest to compute.
  return outsideFilm.has(key) ? airTerms(scaled, terms) : airTerms(scaled);
}
