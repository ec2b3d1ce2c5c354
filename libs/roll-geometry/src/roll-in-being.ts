import type { Reason } from '@edge-margin/units';
import { reanchoredBuild } from './build-estimate.js';
import type { CellFacts } from './cell-facts.js';
import { type ContinuedRoll, continuedRoll } from './continued-roll.js';
import type { PendingStep } from './pending-step.js';
import { begun } from './roll-beginning.js';
import {
  beganInView,
  diameterReanchored,
  fellToCore,
  isNewRollByDiameter,
  isNewRollByLength,
  lengthReanchored,
  lengthReset,
} from './roll-change.js';
import { type Outcome, endedEvent, unwatched } from './roll-outcome.js';
import type { RollEvent, RollState, RollTrackerState } from './roll-tracker-types.js';
import type { TrackerSettings } from './tracker-settings.js';

/** A cell with a roll before it: the roll goes on, gives way to a new one, or is set right. */
export function withRoll(
  state: RollTrackerState,
  before: RollState,
  facts: CellFacts,
  settings: TrackerSettings,
): Outcome {
  const next = continuedRoll(state, before, facts, settings);
  const change = changeByDiameter(next, facts, settings) ?? changeByLength(next, state, facts, settings);
  return change === null ? reanchored(next, facts, settings) : changed(next, change, facts, settings);
}

interface Change {
  /** The new roll was seen from its beginning. */
  readonly seen: boolean;
  readonly step: PendingStep;
  readonly because: Reason;
}

function changeByDiameter(
  { roll, diameterStep }: ContinuedRoll,
  facts: CellFacts,
  settings: TrackerSettings,
): Change | null {
  if (
    !isConfirmed(diameterStep, facts.readingM.kind, settings) ||
    !isNewRollByDiameter(diameterStep, roll, facts, settings)
  )
    return null;
  return { seen: beganInView(diameterStep, settings), step: diameterStep, because: fellToCore(diameterStep) };
}

function changeByLength(
  { lengthStep }: ContinuedRoll,
  state: RollTrackerState,
  facts: CellFacts,
  settings: TrackerSettings,
): Change | null {
  const beforeM = state.lengthSignal?.m ?? 0;
  if (
    !isConfirmed(lengthStep, facts.lengthM.kind, settings) ||
    !isNewRollByLength(lengthStep, beforeM, facts)
  )
    return null;
  return { seen: facts.position === 'core', step: lengthStep, because: lengthReset(lengthStep, beforeM) };
}

function isConfirmed(
  step: PendingStep | null,
  kind: 'known' | 'unknown',
  settings: TrackerSettings,
): step is PendingStep {
  return step !== null && kind === 'known' && step.count >= settings.confirmCells;
}

/** The old roll ended when the step began; the new one began there too, unless an empty core stands waiting. */
function changed(
  { roll, notUsed }: ContinuedRoll,
  { seen, step, because }: Change,
  facts: CellFacts,
  settings: TrackerSettings,
): Outcome {
  const end = endedEvent(roll, { atMs: step.sinceMs, because, woundSinceM: step.woundM }, settings);
  if (facts.position === 'core' && facts.moving !== true) {
    return unwatched({ roll: null, absence: 'at-core', events: [end], notUsed });
  }
  const next = begun(
    { atMs: step.sinceMs, seen, woundM: step.woundM, exactly: true, because },
    facts,
    settings,
  );
  return { ...next, events: [end, ...next.events], notUsed };
}

/** Readings that agree on another value within the same roll are believed from now on. */
function reanchored(next: ContinuedRoll, facts: CellFacts, settings: TrackerSettings): Outcome {
  const diameter = withDiameterReanchored(next, facts, settings);
  const length = withLengthReanchored(diameter?.roll ?? next.roll, next.lengthStep, facts, settings);
  return {
    roll: length?.roll ?? diameter?.roll ?? next.roll,
    absence: 'between',
    diameterStep: diameter === null ? next.diameterStep : null,
    lengthStep: length === null ? next.lengthStep : null,
    events: [diameter, length].filter((set) => set !== null).map(({ event }) => event),
    notUsed: next.notUsed,
  };
}

interface SetRight {
  readonly roll: RollState;
  readonly event: RollEvent;
}

/** Not while the winder stands: nothing can have grown. */
function withDiameterReanchored(
  { roll, diameterStep }: ContinuedRoll,
  facts: CellFacts,
  settings: TrackerSettings,
): SetRight | null {
  const { readingM, moving, atMs } = facts;
  if (
    readingM.kind === 'unknown' ||
    roll.build === null ||
    moving === false ||
    !isConfirmed(diameterStep, 'known', settings)
  )
    return null;
  const because = diameterReanchored(diameterStep, roll, readingM.value);
  return {
    roll: { ...roll, build: reanchoredBuild(roll.build, readingM, atMs) },
    event: { kind: 're-anchored', atMs, because },
  };
}

/** The machine's counter goes on from elsewhere; the length counts on with another offset. */
function withLengthReanchored(
  roll: RollState,
  lengthStep: PendingStep | null,
  { lengthM, atMs }: CellFacts,
  settings: TrackerSettings,
): SetRight | null {
  if (lengthM.kind === 'unknown' || !isConfirmed(lengthStep, 'known', settings)) return null;
  const lengthOffsetM = roll.length === null ? 0 : roll.length.m - lengthM.value;
  return {
    roll: { ...roll, lengthOffsetM },
    event: { kind: 're-anchored', atMs, because: lengthReanchored(lengthStep, lengthM.value) },
  };
}
