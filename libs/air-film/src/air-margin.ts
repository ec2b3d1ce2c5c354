import { airApplicability, type Applicability } from './applicability.js';
import { inputsThatCount, type MarginUncertainty, marginUncertainty } from './air-uncertainty.js';
import type { AirFilms, AirQuestion } from './assess-air.js';
import { criticalSpeedAtDiameter } from './critical-speed.js';
import { type IneffectiveNip, ineffectiveNip } from './ineffective-nip.js';
import { sensitivities } from './sensitivities.js';
import { type MarginFigures, marginFigures, movingPoint, solvedPoint } from './solved-point.js';
import { filmWithoutNip } from './wound-in-film.js';

/** What somebody who watches a roll asks of it every second. */
export interface AirMargin extends MarginFigures, Applicability {
  readonly airFilm: Pick<AirFilms, 'withoutNipM' | 'woundInM'>;
  /** `woundInM/(3 x combined roughness)`, without the boundary factor. */
  readonly filmRatio: number;
  readonly uncertainty: MarginUncertainty;
  /** What is wound while or where the nip does not work; left out where it works everywhere and always. */
  readonly ineffectiveNip?: IneffectiveNip;
  /** The critical speed with another diameter of the roll, all else as it is, m/s; undefined where there is none. */
  readonly criticalSpeedAt: (rollDiameterM: number) => number | undefined;
}

/**
 * The part of {@link assessAir} that is watched while a roll grows, figure by figure the same: film, critical speeds and margin with their uncertainty, whether air matters, and where the
 * nip does not work. What it leaves out (how long wraps float, what they withstand, what would make it surer, where the formulas end) costs as much again.
 * @throws RangeError naming parameter, value, unit and range.
 */
export function airMargin(question: AirQuestion): AirMargin {
  const solved = solvedPoint(question);
  const { criticalSpeedMPerS, point, terms, woundInFilmM } = solved;
  const { calibration, uncertainties = {} } = question;
  const slopes = sensitivities(
    movingPoint(point),
    terms,
    criticalSpeedMPerS,
    inputsThatCount(uncertainties, calibration),
  );
  const uncertainty = marginUncertainty(uncertainties, calibration, slopes);
  const ineffective = ineffectiveNip(question, point, terms, uncertainty.criticalSpeedRatio);
  return {
    airFilm: { withoutNipM: filmWithoutNip(terms, point.speedMPerS), woundInM: woundInFilmM },
    filmRatio: woundInFilmM / (3 * point.combinedRoughnessM),
    ...marginFigures(solved, uncertainty),
    ...(ineffective === undefined ? {} : { ineffectiveNip: ineffective }),
    ...airApplicability(terms, point.speedMPerS, criticalSpeedMPerS, point.speedLimitMPerS),
    uncertainty,
    criticalSpeedAt: (rollDiameterM) =>
      rollDiameterM === point.rollDiameterM
        ? criticalSpeedMPerS
        : criticalSpeedAtDiameter(point, rollDiameterM),
  };
}
