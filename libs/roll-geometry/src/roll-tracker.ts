import { type Reason, reason } from '@edge-margin/units';
import { withLayerThickness } from './build-estimate.js';
import { type CellFacts, cellFacts } from './cell-facts.js';
import { withoutRoll } from './roll-beginning.js';
import { withRoll } from './roll-in-being.js';
import { type Outcome, endedEvent, unwatched } from './roll-outcome.js';
import type { RollCell, RollTrackerConfig, RollTrackerState, RollTrackerStep } from './roll-tracker-types.js';
import { trackedRoll } from './tracked-roll.js';
import { type TrackerSettings, trackerSettings } from './tracker-settings.js';

/** State before the first cell: nothing was seen. */
export const noRollSeen: RollTrackerState = {
  version: 1,
  atMs: null,
  basis: null,
  winding: null,
  absence: 'unseen',
  lengthSignal: null,
  diameterStep: null,
  lengthStep: null,
  roll: null,
  notUsedCount: 0,
};

/**
 * Follows the roll of a station through one closed cell of the event-time grid. Pure: the same cells from the same state give bit-equal states.
 *
 * A roll starts and ends by the explicit `winding` signal where there is one: it wins over everything else, as long as it is told without a gap. Without it
 * a diameter that falls to about the core, or (where no diameter contradicts) a wound length that is reset, ends a roll and begins the next. Standing
 * still ends nothing.
 *
 * The diameter is predicted from the length wound, D^2 growing by 4 h dL / pi, and corrected by each reading that fits. A reading that does not fit is not
 * used and counted; `confirmCells` of them that agree are believed, but not while the winder stands, where nothing can have changed.
 * Without readings the diameter is predicted on, its uncertainty growing, for `predictForS`, then it is unknown.
 * A new grade or caliper forgets the layer thickness; another core or source of the diameter forgets the diameter.
 * @param state what the cell before left; {@link noRollSeen} at first.
 * @param cell what was measured in this cell.
 * @param config station, grade and machine, as they are now.
 * @throws RangeError if the cell is not later than the one before, or a number of the configuration is not positive.
 */
export function stepRoll(
  state: RollTrackerState,
  cell: RollCell,
  config: RollTrackerConfig,
): RollTrackerStep {
  if (state.atMs !== null && !(cell.atMs > state.atMs)) {
    throw new RangeError(
      `atMs: later than the cell before (${state.atMs} ms) is needed, got ${cell.atMs} ms`,
    );
  }
  const settings = trackerSettings(config);
  const before = onBasis(state, settings);
  const facts = cellFacts(before, cell, settings);
  return stepFrom(before, outcomeOf(before, facts, settings), facts, settings);
}

function outcomeOf(state: RollTrackerState, facts: CellFacts, settings: TrackerSettings): Outcome {
  if (facts.winding === 0) return betweenRolls(state, facts, settings);
  return state.roll === null
    ? withoutRoll(state, facts, settings)
    : withRoll(state, state.roll, facts, settings);
}

function betweenRolls({ roll }: RollTrackerState, { atMs }: CellFacts, settings: TrackerSettings): Outcome {
  const because = reason('winding-signal-off', 'the winding signal says that no roll is being wound');
  const events = roll === null ? [] : [endedEvent(roll, { atMs, because, woundSinceM: 0 }, settings)];
  return unwatched({ roll: null, absence: 'between', events, notUsed: [] });
}

/** The state with what a new grade, core or source of the diameter makes void taken out of it. */
function onBasis(state: RollTrackerState, settings: TrackerSettings): RollTrackerState {
  const { gradeId, coreDiameterM, caliperM, diameterFrom } = settings;
  const { basis, roll } = state;
  if (
    basis?.gradeId === gradeId &&
    basis.coreDiameterM === coreDiameterM &&
    basis.caliperM === caliperM &&
    basis.diameterFrom === diameterFrom
  )
    return state;
  const next = { ...state, basis: { gradeId, coreDiameterM, caliperM, diameterFrom } };
  if (basis === null) return next;
  if (basis.coreDiameterM !== coreDiameterM || basis.diameterFrom !== diameterFrom) {
    return {
      ...next,
      absence: state.absence === 'at-core' ? 'unseen' : state.absence,
      diameterStep: null,
      roll: roll && { ...roll, build: null },
    };
  }
  return {
    ...next,
    roll: roll && { ...roll, build: roll.build && withLayerThickness(roll.build, settings.layerM) },
  };
}

function stepFrom(
  before: RollTrackerState,
  outcome: Outcome,
  facts: CellFacts,
  settings: TrackerSettings,
): RollTrackerStep {
  const { roll, absence, diameterStep, lengthStep, events } = outcome;
  const notUsed = outcome.notUsed.length === 0 ? facts.notUsed : [...facts.notUsed, ...outcome.notUsed];
  const notUsedCount = before.notUsedCount + notUsed.length;
  const { lengthM } = facts;
  const usesLength = lengthM.kind === 'known' && lengthStep === null;
  const lengthSignal = usesLength ? { m: lengthM.value, atMs: facts.atMs } : before.lengthSignal;
  const state: RollTrackerState = {
    version: before.version,
    atMs: facts.atMs,
    basis: before.basis,
    winding: facts.winding,
    absence,
    lengthSignal,
    diameterStep,
    lengthStep,
    roll,
    notUsedCount,
  };
  return {
    state,
    roll: roll && trackedRoll(roll, facts, settings),
    noRoll: roll === null ? whyNoRoll(absence) : null,
    events,
    notUsed,
    notUsedCount,
  };
}

function whyNoRoll(absence: RollTrackerState['absence']): Reason {
  if (absence === 'between') return reason('between-rolls', 'no roll is being wound');
  if (absence === 'at-core') return reason('core-waiting', 'an empty core stands in the station');
  return reason(
    'no-roll-seen',
    'neither diameter, wound length nor winding signal tells whether a roll is there',
  );
}
