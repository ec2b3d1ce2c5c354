import { type Known, known, type Quantity, reason, type Reason, unknown } from '@edge-margin/units';
import type { AirPoint } from './air-point.js';
import { type AirTerms, airTerms } from './air-terms.js';
import type { MarginUncertainty } from './air-uncertainty.js';
import { criticalSpeedOf, filmCriticalSpeedOf, highestSpeedSearched } from './critical-speed.js';
import { inWords } from './in-words.js';
import { type PointNumbers, pointNumbers } from './point-numbers.js';
import { woundInFilm } from './wound-in-film.js';

/** An operating point with its film and its critical speeds, without their uncertainty. */
export interface SolvedPoint {
  readonly point: PointNumbers;
  readonly terms: AirTerms;
  /** Undefined where there is none. */
  readonly criticalSpeedMPerS: number | undefined;
  /** Undefined where there is none. */
  readonly filmCriticalSpeedMPerS: number | undefined;
  /** Film under a wrap just laid down at the point's speed. */
  readonly woundInFilmM: number;
}

/** The critical speeds and the margin as they are told: with their uncertainty, or why there is none. */
export interface MarginFigures {
  /** Speed at which the film as laid down is the boundary film, without venting. */
  readonly filmCriticalSpeedMPerS: Quantity;
  /** Lowest speed at which more wraps than allowed keep a film above the boundary film, venting included. */
  readonly criticalSpeedMPerS: Quantity;
  /** `1 - V/Vcrit`. */
  readonly marginRatio: Quantity;
}

/**
 * Finds film and critical speeds of a point.
 * @throws RangeError naming parameter, value, unit and range.
 */
export function solvedPoint(question: AirPoint): SolvedPoint {
  const point = pointNumbers(question);
  const terms = airTerms(point);
  const highest = highestSpeedSearched(point);
  return {
    point,
    terms,
    criticalSpeedMPerS: criticalSpeedOf(terms, highest),
    filmCriticalSpeedMPerS: filmCriticalSpeedOf(terms, highest),
    woundInFilmM: woundInFilm(terms, point.speedMPerS),
  };
}

/** The point for which sensitivities are asked: exponents have a limit at standstill, and half a micrometre per second is near enough to it. */
export function movingPoint(point: PointNumbers): PointNumbers {
  return point.speedMPerS > 0 ? point : { ...point, speedMPerS: 5e-7 };
}

/** Critical speeds and margin with their uncertainty. */
export function marginFigures(solved: SolvedPoint, uncertainty: MarginUncertainty): MarginFigures {
  const { criticalSpeedMPerS: critical, filmCriticalSpeedMPerS: filmCritical, point } = solved;
  const told = (value: number | undefined): Quantity =>
    value === undefined
      ? unknown(noCriticalSpeed(point))
      : known(value, value * uncertainty.criticalSpeedRatio);
  return {
    filmCriticalSpeedMPerS: told(filmCritical),
    criticalSpeedMPerS: told(critical),
    marginRatio:
      critical === undefined
        ? unknown(noCriticalSpeed(point))
        : margin(point.speedMPerS / critical, uncertainty),
  };
}

function margin(speedShare: number, uncertainty: MarginUncertainty): Known {
  return known(1 - speedShare, speedShare * uncertainty.speedShareRatio);
}

function noCriticalSpeed(point: PointNumbers): Reason {
  const upToMPerS = highestSpeedSearched(point);
  const text = `no critical speed up to ${inWords('speed', upToMPerS, point.display)}, twice the machine's limit`;
  return reason('no-critical-speed', text, { upToMPerS, speedLimitMPerS: point.speedLimitMPerS });
}
