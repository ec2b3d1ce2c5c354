import { reason } from '@edge-margin/units';
import { type CellFacts, toldLength } from './cell-facts.js';
import { type Outcome, unwatched } from './roll-outcome.js';
import type { RollEvent, RollTrackerState } from './roll-tracker-types.js';
import { type RollStart, startedRoll } from './started-roll.js';
import type { TrackerSettings } from './tracker-settings.js';

/** A cell with no roll before it: does one begin? */
export function withoutRoll(state: RollTrackerState, facts: CellFacts, settings: TrackerSettings): Outcome {
  const start = facts.winding === 1 ? startBySignal(state, facts) : startByPosition(state, facts);
  if (start !== null) return begun(start, facts, settings);
  const atCore = state.absence === 'unseen' && facts.position === 'core';
  return unwatched({ roll: null, absence: atCore ? 'at-core' : state.absence, events: [], notUsed: [] });
}

/** A roll begins in this cell. */
export function begun(start: RollStart, facts: CellFacts, settings: TrackerSettings): Outcome {
  const event: RollEvent = {
    kind: 'started',
    atMs: start.atMs,
    startSeen: start.seen,
    because: start.because,
  };
  return unwatched({
    roll: startedRoll(start, facts, settings),
    absence: 'between',
    events: [event],
    notUsed: [],
  });
}

function startBySignal(state: RollTrackerState, facts: CellFacts): RollStart {
  if (state.winding !== 0 || facts.afterGap) return firstSeen(facts);
  const because = reason('winding-signal-on', 'the winding signal says that a roll is being wound');
  const woundM = facts.wound.kind === 'told' ? Math.max(0, facts.wound.lengthM) : facts.wound.atMostM;
  return { atMs: facts.atMs, seen: true, woundM, exactly: false, because };
}

/** Without the signal a roll is there where the readings are beyond a core, and begins where a core that was seen begins to turn. */
function startByPosition(state: RollTrackerState, facts: CellFacts): RollStart | null {
  const { atMs, position, moving } = facts;
  const turns = position === 'core' && moving === true;
  if (state.absence === 'unseen') return position === 'beyond' || turns ? firstSeen(facts) : null;
  // After a roll has ended, a diameter beyond a core is that roll, still lying there.
  const hasLeftCore = position === 'beyond' && state.absence === 'at-core' && moving !== false;
  if (!turns && !hasLeftCore) return null;
  const because = reason('core-began-to-turn', 'the core began to be wound on');
  return { atMs, seen: !facts.afterGap, woundM: toldLength(facts), exactly: true, because };
}

function firstSeen({ atMs }: CellFacts): RollStart {
  const because = reason('first-seen', 'a roll was there when the station was first seen');
  return { atMs, seen: false, woundM: 0, exactly: true, because };
}
