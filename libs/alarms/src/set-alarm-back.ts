import type { AlarmKeyState } from './alarm-state.js';
import type { ConditionState } from './condition.js';

/**
 * The alarm after the clock by which its event time goes was set back: what its conditions wait for lies as far ahead as before, and samples
 * are no longer history. What happened keeps the times under which it was journaled, the name of the occurrence with them.
 * @param state from the last step
 * @param byMs how far event time went back, ms, >= 0
 * @throws RangeError if `byMs` is negative or not a number
 */
export function setAlarmBack(state: AlarmKeyState, byMs: number): AlarmKeyState {
  if (!(byMs >= 0)) throw new RangeError(`byMs: a time >= 0 ms is needed, got ${byMs} ms`);
  const conditions = Object.fromEntries(
    Object.entries(state.conditions).map(([stage, condition]) => [stage, setConditionBack(condition, byMs)]),
  );
  return { ...state, conditions };
}

function setConditionBack(condition: ConditionState, byMs: number): ConditionState {
  const earlier = (atMs: number | null): number | null => (atMs === null ? null : atMs - byMs);
  return {
    ...condition,
    // The onset of what is raised names its occurrence.
    sinceMs: condition.raised ? condition.sinceMs : earlier(condition.sinceMs),
    dueAtMs: earlier(condition.dueAtMs),
    latestMs: earlier(condition.latestMs),
  };
}
