import type { Grade } from '@edge-margin/plant';
import type { RollTrackerStep, WoundInAirState } from '@edge-margin/roll-geometry';
import { type Quantity, type Reason, reason, unknown } from '@edge-margin/units';
import { airSignals } from './air-around.js';
import { airNow } from './air-now.js';
import type { EdgeRisk, StationAssessment } from './assessment.js';
import type { Cell } from './cell.js';
import { combinedChance } from './chance.js';
import type { GradeNow } from './grade-now.js';
import { inputQuantity, inputReadings, type Inputs } from './inputs.js';
import { type StationModel, modelRevision } from './model.js';
import { nipLoadNow } from './nip-load-now.js';
import { nipNow } from './nip-now.js';
import { outlookNow } from './outlook-now.js';
import { remedyNow } from './remedy-now.js';
import { becauseWords, stateWords } from './state-words.js';
import { woundInAirNow } from './wound-in-air-now.js';
import { type WoundRisk, withRiskAt, woundRiskPoints } from './wound-risk.js';

export interface StationFacts {
  readonly model: StationModel;
  readonly inputs: Inputs;
  readonly cell: Cell;
  readonly gradeNow: GradeNow;
  readonly roll: RollTrackerStep;
  readonly rollId: string | null;
  readonly speeds: readonly number[];
  readonly wound: WoundRisk | null;
  readonly woundInAir: WoundInAirState | undefined;
  readonly setEndDiameterM: number;
}

export interface AssessedStation {
  readonly assessment: StationAssessment;
  /** What was wound so far, this second included. */
  readonly wound: WoundRisk | null;
  readonly woundInAir: WoundInAirState | undefined;
}

/** Puts the mechanisms of one station at one grid time together. */
export function assessStation(facts: StationFacts): AssessedStation {
  const { inputs, model, setEndDiameterM, speeds } = facts;
  const { grade, because: gradeProblem } = facts.gradeNow;
  const roll = facts.roll.roll;
  const speedMPerS = inputQuantity(inputs, 'speed');
  const diameterM = roll?.diameterM ?? unknown(facts.roll.noRoll ?? reason('no-roll', 'no roll'));
  const load = nipLoadNow({ model, inputs, grade, diameterM });
  const nip = nipNow({ model, inputs, cell: facts.cell, load, winding: roll?.phase === 'winding' });
  const air = airNow({
    model,
    grade,
    gradeProblem,
    diameterM,
    speedMPerS,
    tensionNPerM: inputQuantity(inputs, 'tension'),
    nipLoadNPerM: load.meanNPerM,
    contactLostAt: nip.inHand.ends.flatMap(({ contactLost, end }) => (contactLost ? [end] : [])),
    airSignals: airSignals(inputs),
    display: model.display,
  });
  const measuredAir =
    roll === null || facts.rollId === null
      ? null
      : woundInAirNow({
          before: facts.woundInAir,
          inputs,
          cell: facts.cell,
          grade,
          rollId: facts.rollId,
          filmM: air.inHand.woundInFilmM,
          display: model.display,
        });
  const risk = edgeRisk(model, grade, air.chance, nip.chance);
  const wound = woundAfter(facts, diameterM, risk.now);
  const { outlook, forecast } = outlookNow({
    model,
    atMs: inputs.atMs,
    grade,
    roll,
    setEndDiameterM,
    speedMPerS,
    speeds,
    air,
    nipChance: nip.chance,
  });
  const remedy = remedyNow({ model, outlook, air: air.outlook, forecast });
  const words = {
    model,
    grade,
    roll,
    noRoll: facts.roll.noRoll,
    risk,
    forecast,
    air: air.inHand,
    nip: nip.inHand,
    setEndDiameterM,
  };
  const assessment: StationAssessment = {
    version: 1,
    winderId: model.context.winder.id,
    stationId: model.context.station.id,
    atMs: inputs.atMs,
    modelRevision,
    configurationRevision: model.configurationRevision,
    simulated: model.context.winder.simulated,
    grade: {
      id: grade.id,
      name: grade.name,
      activated: grade.activated,
      ratedRolls: grade.calibration?.ratedRolls ?? 0,
    },
    roll:
      roll === null || facts.rollId === null
        ? null
        : {
            rollId: facts.rollId,
            startedAtMs: roll.startedAtMs,
            coreDiameterM: model.context.station.coreDiameterM,
            setEndDiameterM,
            diameterM: roll.diameterM,
            woundLengthM: roll.woundLengthM,
            wrapCount: roll.wrapCount,
          },
    state: stateWords(words),
    air: air.inHand,
    nip: nip.inHand,
    risk: { ...risk, wound: wound === null ? [] : woundRiskPoints(wound) },
    forecast: { ...forecast, aheadAfterRemedy: remedy.aheadAfter },
    remedy: remedy.remedy,
    alternatives: remedy.alternatives,
    woundInAir: measuredAir?.measured ?? null,
    because: becauseWords(words),
    inputs: inputReadings(inputs),
    notWatched: notWatched(air.chance, nip.chance),
  };
  return { assessment, wound, woundInAir: measuredAir?.state ?? facts.woundInAir };
}

function edgeRisk(model: StationModel, grade: Grade, air: Quantity, nip: Quantity): EdgeRisk {
  return {
    now: combinedChance([air, nip]),
    air,
    nip,
    meaning: grade.activated ? 'rough-edge' : 'wraps-free-to-move',
    limit: model.context.limits.edgeRisk.reached,
    wound: [],
  };
}

function woundAfter({ roll, wound }: StationFacts, diameterM: Quantity, now: Quantity): WoundRisk | null {
  if (wound === null || diameterM.kind === 'unknown' || roll.roll?.phase !== 'winding') return wound;
  return withRiskAt(wound, diameterM.value, now.kind === 'known' ? now.value : undefined);
}

/** What no station sees, in words. */
const neverWatched: readonly Reason[] = [
  reason('slitter-not-watched', 'slitter'),
  reason('upstream-not-watched', 'upstream'),
  reason('path-not-watched', 'path from slitter to roll'),
  reason('splices-not-watched', 'splices'),
];

/** Causes of rough edges that this station does not see, in words. */
function notWatched(air: Quantity, nip: Quantity): readonly Reason[] {
  const unseen: Reason[] = [];
  if (air.kind === 'unknown')
    unseen.push(reason('air-not-watched', `air: ${air.because.text}`, air.because.params));
  if (nip.kind === 'unknown')
    unseen.push(reason('nip-not-watched', `nip: ${nip.because.text}`, nip.because.params));
  return unseen.length === 0 ? neverWatched : [...unseen, ...neverWatched];
}
