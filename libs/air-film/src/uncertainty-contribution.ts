import type { AirInputName } from './air-inputs.js';

/** One source of uncertainty of the critical speed. */
export interface UncertaintyContribution {
  readonly source: AirInputName | 'model';
  /** Relative standard uncertainty of the source; for the model, of the critical speed itself. */
  readonly sourceRatio: number;
  /** d ln(Vcrit)/d ln(source). */
  readonly sensitivity: number;
  /** Its part in the relative standard uncertainty of the critical speed, >= 0. */
  readonly contributionRatio: number;
  /** Its share of the variance of the critical speed, 0 to 1. */
  readonly varianceShareRatio: number;
}
