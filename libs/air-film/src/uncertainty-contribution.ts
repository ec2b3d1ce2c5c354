import type { AirInputName } from './air-inputs.js';

/** What of the model is uncertain: all of it after a calibration; before, the boundary film, the film of the nip and the venting of the stack apart. */
export type ModelPart = 'model' | 'boundaryModel' | 'nipFilmModel' | 'stackModel';

/** True for a part of the model, which rated rolls confirm; false for what is put in, which is measured. */
export function isModelPart(source: UncertaintyContribution['source']): source is ModelPart {
  return (
    source === 'model' || source === 'boundaryModel' || source === 'nipFilmModel' || source === 'stackModel'
  );
}

/** One source of uncertainty of the critical speed. */
export interface UncertaintyContribution {
  readonly source: AirInputName | ModelPart;
  /** Relative standard uncertainty of the source; for a part of the model, of the critical speed itself. */
  readonly sourceRatio: number;
  /** d ln(Vcrit)/d ln(source). */
  readonly sensitivity: number;
  /** Its part in the relative standard uncertainty of the critical speed, >= 0. */
  readonly contributionRatio: number;
  /** Its share of the variance of the critical speed, 0 to 1. */
  readonly varianceShareRatio: number;
}
