import { type Known, type Reason, known, reason } from '@edge-margin/units';
import { buildByLength } from './build-by-length.js';
import { squaredDiameterPerFace } from './build-up.js';
import {
  type BuildEstimate,
  anchoredBuild,
  correctedBuild,
  diameterOf,
  predictedBuild,
  readingAgrees,
  readingVerdict,
} from './build-estimate.js';
import { type CellFacts, toldLength } from './cell-facts.js';
import { type PendingStep, stepMeanwhile, withJump } from './pending-step.js';
import { lengthFromDiameter } from './roll-figures.js';
import type { RollState, RollTrackerState } from './roll-tracker-types.js';
import type { TrackerSettings } from './tracker-settings.js';

/** A roll one cell further, with the jumps that are being watched. */
export interface ContinuedRoll {
  readonly roll: RollState;
  readonly diameterStep: PendingStep | null;
  readonly lengthStep: PendingStep | null;
  readonly notUsed: readonly Reason[];
}

/** Winds one cell on: length and diameter are predicted by what was wound, then corrected by a reading that fits. */
export function continuedRoll(
  state: RollTrackerState,
  before: RollState,
  facts: CellFacts,
  settings: TrackerSettings,
): ContinuedRoll {
  const predicted = woundOn(before, facts, settings);
  const lengthStep = watchedLength(state, facts);
  if (settings.diameterFrom === 'length')
    return { roll: predicted, diameterStep: null, lengthStep, notUsed: [] };
  const pending = diameterMeanwhile(state.diameterStep, predicted, facts);
  const { roll, diameterStep, notUsed } = correctedByReading(predicted, pending, facts, settings);
  return { roll, diameterStep, lengthStep, notUsed };
}

function woundOn(before: RollState, facts: CellFacts, settings: TrackerSettings): RollState {
  const length = lengthNow(before, facts, settings);
  const phase = facts.moving === null ? before.phase : facts.moving ? 'winding' : 'stopped';
  const build =
    settings.diameterFrom === 'length'
      ? buildByLength(before.build, length, facts, settings)
      : before.build && predictedBuild(before.build, facts.wound);
  return { ...before, phase, length, build };
}

/** The counter if it carries on, else the length so far and what was wound; in mode `length` it outlasts cells that tell nothing. */
function lengthNow(before: RollState, facts: CellFacts, settings: TrackerSettings): RollState['length'] {
  if (facts.lengthM.kind === 'known' && facts.lengthVerdict === 'fits') {
    return { m: facts.lengthM.value + before.lengthOffsetM, u: facts.lengthM.uncertainty };
  }
  if (facts.wound.kind === 'unseen') return settings.diameterFrom === 'length' ? before.length : null;
  const so = before.length ?? lengthByBuild(before.build, settings);
  // Linear, not in quadrature: the error of one speed signal is mostly the same from cell to cell.
  return so && { m: so.m + facts.wound.lengthM, u: so.u + facts.wound.uncertaintyM };
}

function lengthByBuild(build: BuildEstimate | null, settings: TrackerSettings): RollState['length'] {
  if (build === null) return null;
  const layerThicknessM = known(build.layerThicknessM, Math.sqrt(build.covariance[2]));
  const length = lengthFromDiameter({ coreDiameterM: settings.coreM, layerThicknessM }, diameterOf(build));
  return length.kind === 'known' ? { m: length.value, u: length.uncertainty } : null;
}

function diameterMeanwhile(
  pending: PendingStep | null,
  roll: RollState,
  facts: CellFacts,
): PendingStep | null {
  if (pending === null || roll.build === null || facts.wound.kind === 'unseen') return pending;
  const grown =
    pending.expected ** 2 + squaredDiameterPerFace * roll.build.layerThicknessM * facts.wound.lengthM;
  return stepMeanwhile(pending, facts.wound.lengthM, Math.sqrt(Math.max(0, grown)));
}

function correctedByReading(
  roll: RollState,
  pending: PendingStep | null,
  facts: CellFacts,
  settings: TrackerSettings,
): Omit<ContinuedRoll, 'lengthStep'> {
  const { readingM } = facts;
  if (readingM.kind === 'unknown') return { roll, diameterStep: pending, notUsed: [] };
  if (roll.build === null)
    return {
      roll: { ...roll, build: anchoredBuild(readingM, settings.layerM, facts.atMs) },
      diameterStep: null,
      notUsed: [],
    };
  const verdict = readingVerdict(roll.build, readingM);
  if (verdict === 'fits') {
    return {
      roll: { ...roll, build: correctedBuild(roll.build, readingM, settings.caliperM, facts.atMs) },
      diameterStep: null,
      notUsed: [],
    };
  }
  const jump = {
    direction: verdict,
    value: readingM.value,
    atMs: facts.atMs,
    woundM: toldLength(facts),
    vouched: facts.vouched,
  };
  const mayHaveGrownM2 =
    facts.wound.kind === 'told'
      ? 0
      : squaredDiameterPerFace * roll.build.layerThicknessM * facts.wound.atMostM;
  const agrees = pending !== null && readingAgrees(pending.expected, readingM, mayHaveGrownM2);
  return {
    roll,
    diameterStep: withJump(pending, jump, agrees),
    notUsed: [diameterJumped(verdict, roll.build, readingM)],
  };
}

function diameterJumped(direction: 'back' | 'ahead', build: BuildEstimate, readingM: Known): Reason {
  const expectedM = diameterOf(build).value;
  const params = { diameterM: readingM.value, expectedM };
  const text = `diameter jumped ${direction} to ${(readingM.value * 1000).toFixed(1)} mm where ${(expectedM * 1000).toFixed(1)} mm was expected`;
  return reason(`diameter-jumped-${direction}`, text, params);
}

function watchedLength(state: RollTrackerState, facts: CellFacts): PendingStep | null {
  const { lengthM, lengthVerdict, wound } = facts;
  const woundM = toldLength(facts);
  const pending =
    state.lengthStep && stepMeanwhile(state.lengthStep, woundM, state.lengthStep.expected + woundM);
  if (lengthM.kind === 'unknown' || lengthVerdict === 'none') return pending;
  if (lengthVerdict === 'fits') return null;
  // Two metres and a fifth of what the speed told: counters count in metres, and slip against the speed signal.
  const tolerance = wound.kind === 'told' ? 2 + 0.2 * Math.abs(woundM) : wound.atMostM;
  const agrees = pending !== null && Math.abs(lengthM.value - pending.expected) <= tolerance;
  return withJump(
    pending,
    { direction: lengthVerdict, value: lengthM.value, atMs: facts.atMs, woundM, vouched: facts.vouched },
    agrees,
  );
}
