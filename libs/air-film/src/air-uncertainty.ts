import type { Reason } from '@edge-margin/units';
import {
  type AirInputName,
  airInputNames,
  airInputs,
  type InputUncertainties,
  uncertaintyOf,
} from './air-inputs.js';
import { measureFirst } from './measure-first.js';
import type { PointSensitivities } from './sensitivities.js';
import type { UncertaintyContribution } from './uncertainty-contribution.js';

/** What rated rolls have left of the uncertainty of the critical speed. */
export interface AirCalibration {
  /** Relative standard uncertainty of the critical speed, > 0. */
  readonly criticalSpeedUncertaintyRatio: number;
}

/**
 * Relative standard uncertainty of the critical speed that comes from the model while no rated rolls have confirmed it: a factor of 2
 * either way at two standard uncertainties, mostly from what "rough" means and from the venting of the stack (own estimate).
 */
export const uncalibratedModelRatio = Math.LN2 / 2;

/** Standard uncertainties of what is monitored, all relative. */
export interface MarginUncertainty {
  readonly speedRatio: number;
  readonly woundInFilmRatio: number;
  /** Of film/(3 x combined roughness). */
  readonly filmRatioRatio: number;
  /** Of the critical speed, with the contributions below; also of the film critical speed, as an estimate. */
  readonly criticalSpeedRatio: number;
  /** Of V/Vcrit. */
  readonly speedShareRatio: number;
}

/** The same with what they are made of. */
export interface AirUncertainty extends MarginUncertainty {
  readonly calibrated: boolean;
  /** Contributions to the critical speed, the largest first; those of nothing are left out. */
  readonly contributions: readonly UncertaintyContribution[];
  /** What would make it surer. */
  readonly measureFirst?: Reason;
}

/**
 * First-order uncertainty of film, critical speed and margin: `u^2 = sum (c_i u_i)^2` of independent inputs (JCGM 100:2008, 5.1.2).
 *
 * On top of the inputs stands the model's own uncertainty, of the critical speed: {@link uncalibratedModelRatio}, or what the calibration says. Rated rolls compare
 * prediction and roll as a whole, so that what is the same for all rolls of the grade (roughness, permeance, cover) is in the
 * calibration already and does not count again. The model's uncertainty of the film is that of the critical speed times d ln(film)/d ln(speed).
 * Where there is no critical speed, its figures hold the model's part alone.
 */
export function airUncertainty(
  inputs: InputUncertainties,
  calibration: AirCalibration | undefined,
  sensitivities: PointSensitivities,
): AirUncertainty {
  const contributions = withShares(criticalSpeedParts(inputs, calibration, sensitivities));
  const advice = measureFirst(contributions);
  return {
    calibrated: calibration !== undefined,
    ...marginUncertainty(inputs, calibration, sensitivities),
    contributions,
    ...(advice === undefined ? {} : { measureFirst: advice }),
  };
}

/** {@link airUncertainty} without what it is made of. Needs the sensitivities to {@link inputsThatCount} only. */
export function marginUncertainty(
  inputs: InputUncertainties,
  calibration: AirCalibration | undefined,
  sensitivities: PointSensitivities,
): MarginUncertainty {
  const ratios = criticalSpeedParts(inputs, calibration, sensitivities).map(contributionOf);
  const criticalSpeedRatio = Math.hypot(...ratios.sort((a, b) => b - a));
  const speedRatio = inputs.speedRatio ?? 0;
  const filmModelRatio = modelRatioOf(calibration) * sensitivities.filmToSpeed;
  const filmParts = airInputNames.map((name) => sensitivities.film[name] * uncertaintyOf(inputs, name));
  const woundInFilmRatio = Math.hypot(filmModelRatio, sensitivities.filmToSpeed * speedRatio, ...filmParts);
  return {
    speedRatio,
    woundInFilmRatio,
    filmRatioRatio: Math.hypot(woundInFilmRatio, inputs.combinedRoughnessRatio ?? 0),
    criticalSpeedRatio,
    speedShareRatio: Math.hypot(criticalSpeedRatio, speedRatio),
  };
}

/** The inputs whose sensitivities have a part in the uncertainty. */
export function inputsThatCount(
  inputs: InputUncertainties,
  calibration: AirCalibration | undefined,
): readonly AirInputName[] {
  // The nip load tells whether the model's nip film has a part in it.
  const ofModel = calibration === undefined ? 'nipLoad' : undefined;
  return airInputNames.filter((name) => name === ofModel || uncertaintyOf(inputs, name) !== 0);
}

function modelRatioOf(calibration: AirCalibration | undefined): number {
  return calibration?.criticalSpeedUncertaintyRatio ?? uncalibratedModelRatio;
}

function criticalSpeedParts(
  inputs: InputUncertainties,
  calibration: AirCalibration | undefined,
  sensitivities: PointSensitivities,
): readonly Part[] {
  const calibrated = calibration !== undefined;
  const modelRatio = modelRatioOf(calibration);
  const parts = calibrated
    ? [modelPart('model', modelRatio)]
    : modelParts(modelRatio, sensitivities.criticalSpeed?.nipLoad ?? 0);
  for (const source of airInputNames) {
    const sourceRatio = uncertaintyOf(inputs, source);
    if (sourceRatio === 0 || (calibrated && airInputs[source].commonToGrade)) continue;
    const sensitivity = sensitivities.criticalSpeed?.[source] ?? 0;
    if (sensitivity !== 0) parts.push({ source, sourceRatio, sensitivity });
  }
  return parts;
}

function contributionOf({ sourceRatio, sensitivity }: Part): number {
  return Math.abs(sourceRatio * sensitivity);
}

function withShares(parts: readonly Part[]): readonly UncertaintyContribution[] {
  const variance = parts.reduce((sum, part) => sum + (part.sourceRatio * part.sensitivity) ** 2, 0);
  return parts
    .map((part) => {
      const contributionRatio = contributionOf(part);
      return { ...part, contributionRatio, varianceShareRatio: contributionRatio ** 2 / variance || 0 };
    })
    .sort((a, b) => b.contributionRatio - a.contributionRatio);
}

interface Part {
  readonly source: UncertaintyContribution['source'];
  readonly sourceRatio: number;
  readonly sensitivity: number;
}

function modelPart(source: Part['source'], sourceRatio: number): Part {
  return { source, sourceRatio, sensitivity: 1 };
}

/**
 * What an uncalibrated model's uncertainty comes from, as shares of its variance (own estimate, in terms of the critical speed): most from the film at which wraps of a grade begin to move, which only rated rolls tell (standard
 * uncertainty 0.30); the film of the nip, which was never held against measurements (0.14: a tenth of the film); the venting of the stack (0.10). Where no nip counts its share is that of the boundary.
 */
const modelShares = { boundary: 0.75, nipFilm: 0.16, stack: 0.09 };

function modelParts(modelRatio: number, nipLoadSensitivity: number): Part[] {
  const { nipFilm, stack } = modelShares;
  const ofNip = nipLoadSensitivity === 0 ? 0 : nipFilm;
  const parts = [modelPart('boundaryModel', modelRatio * Math.sqrt(1 - ofNip - stack))];
  if (ofNip > 0) parts.push(modelPart('nipFilmModel', modelRatio * Math.sqrt(ofNip)));
  return [...parts, modelPart('stackModel', modelRatio * Math.sqrt(stack))];
}
