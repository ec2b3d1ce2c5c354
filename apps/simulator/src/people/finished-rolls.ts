import type { Scenario } from '../scenario/scenario-schema.js';
import type { BandTruth, RollTruth, TruthRecord } from '../truth/truth-record.js';
import type { FinishedRoll } from './finished-roll.js';

/** Bands of the rolls that are still being wound, by station. */
export type BandsSoFar = ReadonlyMap<string, readonly BandTruth[]>;

export const NO_BANDS: BandsSoFar = new Map();

/** Gathers the bands of each roll out of the truth as it comes, and hands the roll out when it is finished. */
export function gatherRoll(
  scenario: Scenario,
  sofar: BandsSoFar,
  truth: TruthRecord,
): { readonly bands: BandsSoFar; readonly finished: FinishedRoll | null } {
  if (truth.kind !== 'band' && truth.kind !== 'roll') return { bands: sofar, finished: null };
  const key = `${truth.winder}/${truth.station}`;
  const before = sofar.get(key) ?? [];
  if (truth.kind === 'band')
    return { bands: new Map(sofar).set(key, [...before, truth]), finished: null };
  return { bands: new Map(sofar).set(key, []), finished: finishedRoll(scenario, truth, before) };
}

function finishedRoll(
  scenario: Scenario,
  roll: RollTruth,
  bands: readonly BandTruth[],
): FinishedRoll {
  const station = scenario.winders
    .find(({ id }) => id === roll.winder)
    ?.stations.find(({ id }) => id === roll.station);
  const grade = station === undefined ? undefined : scenario.grades[station.grade];
  if (station === undefined || grade === undefined)
    throw new RangeError(`truth: "${roll.winder}/${roll.station}" is not a station of the scenario`);
  return { roll, bands: bands.filter((band) => band.roll === roll.roll && band.wraps > 0), station, grade };
}
