import type { Grade, Station, Winder } from '../scenario/scenario-schema.js';
import type { BandTruth, EdgesTruth, RollTruth } from '../truth/truth-record.js';

/** A roll that lies there finished, as it really is. */
export interface FinishedRoll {
  readonly roll: RollTruth;
  /** Innermost first. */
  readonly bands: readonly BandTruth[];
  /** Innermost first; empty where the scenario's truth tells no edges. */
  readonly edges: readonly EdgesTruth[];
  readonly winder: Winder;
  readonly station: Station;
  readonly grade: Grade;
}

/** Name of a roll, unique in its run: winder, station, number, and which of several side by side. */
export function rollName({ roll }: FinishedRoll): string {
  const strip = roll.strip === undefined ? '' : `/${roll.strip}`;
  return `${roll.winder}/${roll.station}/${roll.roll}${strip}`;
}

/** What every record about a roll begins with. */
export function ofRoll({ roll }: FinishedRoll): {
  readonly winder: string;
  readonly station: string;
  readonly roll: number;
  readonly strip?: number;
} {
  const { winder, station, strip } = roll;
  return { winder, station, roll: roll.roll, ...(strip === undefined ? {} : { strip }) };
}
