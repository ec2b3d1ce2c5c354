import type { Reason } from '@edge-margin/units';
import type { PendingStep } from './pending-step.js';
import type { RollEvent, RollState, RollTrackerState } from './roll-tracker-types.js';
import { figuresBefore } from './tracked-roll.js';
import type { TrackerSettings } from './tracker-settings.js';

/** What a cell makes of the roll, before state and report are put together. */
export interface Outcome {
  readonly roll: RollState | null;
  readonly absence: RollTrackerState['absence'];
  readonly diameterStep: PendingStep | null;
  readonly lengthStep: PendingStep | null;
  readonly events: readonly RollEvent[];
  readonly notUsed: readonly Reason[];
}

/** An outcome in which no jump is being watched. */
export function unwatched(outcome: Omit<Outcome, 'diameterStep' | 'lengthStep'>): Outcome {
  return { ...outcome, diameterStep: null, lengthStep: null };
}

/** The event that a roll ended, with what it measured when `woundSinceM` less was on it. */
export function endedEvent(
  roll: RollState,
  end: { readonly atMs: number; readonly because: Reason; readonly woundSinceM: number },
  settings: TrackerSettings,
): RollEvent {
  const { atMs, because, woundSinceM } = end;
  return {
    kind: 'ended',
    atMs,
    because,
    startedAtMs: roll.startedAtMs,
    ...figuresBefore(roll, woundSinceM, settings),
  };
}
