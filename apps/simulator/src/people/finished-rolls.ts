import type { Scenario } from '../scenario/scenario-schema.js';
import type { BandTruth, EdgesTruth, RollTruth, TruthRecord } from '../truth/truth-record.js';
import type { FinishedRoll } from './finished-roll.js';

type Part = BandTruth | EdgesTruth;

/** Parts of the rolls that are still being wound, by station and strip. */
export type PartsSoFar = ReadonlyMap<string, readonly Part[]>;

export const NO_PARTS: PartsSoFar = new Map();

/** Gathers the bands and edges of each roll out of the truth as it comes, and hands the roll out when it is finished. */
export function gatherRoll(
  scenario: Scenario,
  sofar: PartsSoFar,
  truth: TruthRecord,
): { readonly parts: PartsSoFar; readonly finished: FinishedRoll | null } {
  if (truth.kind === 'run' || truth.kind === 'state') return { parts: sofar, finished: null };
  const key = `${truth.winder}/${truth.station}/${truth.strip ?? ''}`;
  const before = sofar.get(key) ?? [];
  if (truth.kind !== 'roll') return { parts: new Map(sofar).set(key, [...before, truth]), finished: null };
  const own = before.filter((part) => part.roll === truth.roll);
  return { parts: new Map(sofar).set(key, []), finished: finishedRoll(scenario, truth, own) };
}

function finishedRoll(scenario: Scenario, roll: RollTruth, parts: readonly Part[]): FinishedRoll {
  const winder = scenario.winders.find(({ id }) => id === roll.winder);
  const station = winder?.stations.find(({ id }) => id === roll.station);
  const grade = station === undefined ? undefined : scenario.grades[station.grade];
  if (winder === undefined || station === undefined || grade === undefined)
    throw new RangeError(`truth: "${roll.winder}/${roll.station}" is not a station of the scenario`);
  return {
    roll,
    bands: parts.filter((part) => part.kind === 'band').filter((band) => band.wraps > 0),
    edges: parts.filter((part) => part.kind === 'edges'),
    winder,
    station,
    grade,
  };
}
