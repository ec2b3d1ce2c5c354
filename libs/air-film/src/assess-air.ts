import type { Reason } from '@edge-margin/units';
import type { InputUncertainties, Sensitivities } from './air-inputs.js';
import type { AirPoint } from './air-point.js';
import type { AirTerms } from './air-terms.js';
import { type AirCalibration, type AirUncertainty, airUncertainty } from './air-uncertainty.js';
import { airApplicability } from './applicability.js';
import { furtherNips } from './arriving-nip.js';
import { floatingWraps } from './floating-wraps.js';
import { type IneffectiveNip, ineffectiveNip } from './ineffective-nip.js';
import { netTension } from './net-tension.js';
import { centrePressureRatio, filmInsideNip, incompressibleNipFilm, keptNipFilm } from './nip-film.js';
import { nipOf } from './nip-of.js';
import type { PointNumbers } from './point-numbers.js';
import { sensitivities } from './sensitivities.js';
import { singleWrapVentingTime } from './single-wrap-venting.js';
import { type MarginFigures, marginFigures, movingPoint, solvedPoint } from './solved-point.js';
import { tractionRatio } from './traction.js';
import { outsideValidity, stackRelaxes } from './validity.js';
import { type WithstoodDisturbance, withstoodDisturbance } from './withstood-disturbance.js';
import { filmWithoutNip, nipGoverns } from './wound-in-film.js';

/** An operating point with what is known about its uncertainty. */
export interface AirQuestion extends AirPoint {
  /** Left out: all inputs count as exact, the model does not. */
  readonly uncertainties?: InputUncertainties;
  /** Left out: the grade is not calibrated. */
  readonly calibration?: AirCalibration;
}

/** The film at each stage, m. */
export interface AirFilms {
  /** Film that tension alone would leave, at the pressure in the outermost wrap. */
  readonly withoutNipM: number;
  /** Smallest film in the nip if air could not be compressed: the handbook figure. Left out without a nip. */
  readonly nipIncompressibleM?: number;
  /** Film in the middle of the nip. Left out without a nip. */
  readonly insideNipM?: number;
  /** Air that the nip lets through, as a film at ambient pressure. Left out without a nip. */
  readonly keptByNipM?: number;
  /** Film under a wrap just laid down, at the pressure in the outermost wrap. */
  readonly woundInM: number;
}

/** What entrained air does at one operating point. */
export interface AirAssessment extends MarginFigures {
  readonly airFilm: AirFilms;
  /** What decides `woundInM`: the nip, or the tension of the web alone. */
  readonly governedBy: 'nip' | 'tension';
  /** Film above which a wrap is free to move, m: `boundaryFactor x 3 x combined roughness`. */
  readonly boundaryFilmM: number;
  /** `woundInM/(3 x combined roughness)`, without the boundary factor. */
  readonly filmRatio: number;
  /** Share of the friction between wraps that the film leaves, 0 to 1. */
  readonly tractionRatio: number;
  /** Friction that is left; only where the friction of the web is known. */
  readonly effectiveFrictionRatio?: number;
  /** The disturbance that this friction holds; only where the friction of the web is known. */
  readonly withstands?: WithstoodDisturbance;
  /** Outer wraps that keep a film above the boundary film in the steady state. */
  readonly floatingWraps: number;
  /** How long a wrap keeps such a film, s. */
  readonly floatTimeS: number;
  /** How long the outermost wrap alone would need to sink to the boundary film, s. */
  readonly ventingTimeS: number;
  /** What is wound while or where the nip does not work; left out where it works everywhere and always. */
  readonly ineffectiveNip?: IneffectiveNip;
  /** Nips that press on the roll elsewhere than where the web arrives; left out where there are none. */
  readonly furtherNips?: Reason;
  readonly applies: boolean;
  readonly because: Reason;
  /** Where the point lies outside the range in which the formulas are good. */
  readonly extrapolated: readonly Reason[];
  readonly uncertainty: AirUncertainty;
  /** d ln(Vcrit)/d ln(input); left out where there is no critical speed. */
  readonly criticalSpeedSensitivities?: Sensitivities;
  /** d ln(woundInM)/d ln(input). */
  readonly filmSensitivities: Sensitivities & { readonly speed: number };
}

/**
 * Assesses one operating point of one roll: the air film wound in, how far the wraps are from moving, how long they float, with uncertainty.
 *
 * Formulas, sources and validity stand at the functions for each step. Always finite: at standstill no film, no floating, margin 1.
 * @throws RangeError naming parameter, value, unit and range.
 */
export function assessAir(question: AirQuestion): AirAssessment {
  const solved = solvedPoint(question);
  const { criticalSpeedMPerS, point, terms, woundInFilmM: filmM } = solved;
  const slopes = sensitivities(movingPoint(point), terms, criticalSpeedMPerS);
  const uncertainty = airUncertainty(question.uncertainties ?? {}, question.calibration, slopes);
  const ineffective = ineffectiveNip(question, point, terms, uncertainty.criticalSpeedRatio);
  const further = furtherNips(question);
  const stack = stackFigures(terms, point.speedMPerS, filmM);
  const relaxes = stackRelaxes(question, terms, filmM, stack.floatingWraps);
  const outside = point.speedMPerS > 0 ? outsideValidity(terms, point.speedMPerS, filmM) : [];
  return {
    airFilm: airFilms(point, terms, filmM),
    governedBy: nipGoverns(terms, point.speedMPerS) ? 'nip' : 'tension',
    boundaryFilmM: terms.boundaryFilmM,
    filmRatio: filmM / (3 * point.combinedRoughnessM),
    ...traction(question, point, terms, filmM),
    ...marginFigures(solved, uncertainty),
    ...stack,
    ...(ineffective === undefined ? {} : { ineffectiveNip: ineffective }),
    ...(further === undefined ? {} : { furtherNips: further }),
    ...airApplicability(terms, point.speedMPerS, criticalSpeedMPerS, point.speedLimitMPerS),
    extrapolated: relaxes === undefined ? outside : [...outside, relaxes],
    uncertainty,
    ...(slopes.criticalSpeed === undefined ? {} : { criticalSpeedSensitivities: slopes.criticalSpeed }),
    filmSensitivities: { ...slopes.film, speed: slopes.filmToSpeed },
  };
}

function airFilms(point: PointNumbers, terms: AirTerms, woundInM: number): AirFilms {
  const { speedMPerS } = point;
  const withoutNipM = filmWithoutNip(terms, speedMPerS);
  const { nip } = terms;
  if (nip === null) return { withoutNipM, woundInM };
  const keptByNipM = keptNipFilm(nip, speedMPerS);
  return {
    withoutNipM,
    nipIncompressibleM: incompressibleNipFilm(nip, speedMPerS),
    insideNipM: filmInsideNip(nip, centrePressureRatio(nipOf(point), point), keptByNipM, speedMPerS),
    keptByNipM,
    woundInM,
  };
}

function traction(question: AirQuestion, point: PointNumbers, terms: AirTerms, filmM: number) {
  const share = tractionRatio(filmM, point.combinedRoughnessM);
  const { frictionRatio } = question.web;
  if (frictionRatio === undefined) return { tractionRatio: share };
  const effectiveFrictionRatio = share * frictionRatio;
  const withstands = withstoodDisturbance({
    effectiveFrictionRatio,
    netTensionNPerM: netTension(terms, point.speedMPerS),
    radiusM: terms.radiusM,
    grammageKgPerM2: point.grammageKgPerM2,
  });
  return { tractionRatio: share, effectiveFrictionRatio, withstands };
}

function stackFigures(terms: AirTerms, speedMPerS: number, filmM: number) {
  if (speedMPerS <= 0) return { floatingWraps: 0, floatTimeS: 0, ventingTimeS: 0 };
  const wraps = floatingWraps(terms, speedMPerS, filmM);
  const ventingTimeS = singleWrapVentingTime({
    fromFilmM: filmM,
    toFilmM: terms.boundaryFilmM,
    pressurePa: netTension(terms, speedMPerS) / terms.radiusM,
    widthM: terms.widthM,
    permeanceMPerPaS: terms.permeanceMPerPaS,
    viscosityPaS: terms.viscosityPaS,
  });
  return {
    floatingWraps: wraps,
    floatTimeS: (wraps * 2 * Math.PI * terms.radiusM) / speedMPerS,
    ventingTimeS,
  };
}
