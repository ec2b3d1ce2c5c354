import type { BandTruth, RollTruth } from '../truth/truth-record.js';
import type { Grade, Station } from '../scenario/scenario-schema.js';

/** A roll that lies there finished, as it really is. */
export interface FinishedRoll {
  readonly roll: RollTruth;
  /** Innermost first. */
  readonly bands: readonly BandTruth[];
  readonly station: Station;
  readonly grade: Grade;
}

/** Name that a roll's random streams carry. */
export function rollName({ roll }: FinishedRoll): string {
  return `${roll.winder}/${roll.station}/${roll.roll}`;
}
