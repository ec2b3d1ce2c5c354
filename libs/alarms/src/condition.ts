/** When a value counts as abnormal: set point, deadband and delays. Value, set point and deadband share one unit. */
export interface Condition {
  /** `high`: abnormal at and above the set point. `low`: at and below it. */
  readonly direction: 'high' | 'low';
  readonly setPoint: number;
  /** How far the value must go back beyond the set point before the condition may clear; >= 0. */
  readonly deadband: number;
  /** The value must be in this long before the condition is raised, s, >= 0. */
  readonly onDelayS: number;
  /** The value must be out this long before the condition clears, s, >= 0. */
  readonly offDelayS: number;
}

/** What a condition remembers. JSON; never longer than this. */
export interface ConditionState {
  readonly raised: boolean;
  /** When the value came in, epoch ms; null while it is out and nothing is raised. */
  readonly sinceMs: number | null;
  /** When the running delay ends (on-delay before, off-delay after the raise), epoch ms; null while none runs. */
  readonly dueAtMs: number | null;
  /** What was left of the on-delay when the input stopped being good, ms; null unless it is held. */
  readonly heldMs: number | null;
  /** The last sample said that the input is bad or stale. */
  readonly frozen: boolean;
  /** Time of the last sample or of the last delay that ended, epoch ms. Older samples move nothing. */
  readonly latestMs: number | null;
}

/** One value, or the news that there is none to go by. Infinity is a value: "further away than anything". */
export type ConditionSample =
  | { readonly atMs: number; readonly value: number }
  | { readonly atMs: number; readonly quality: 'bad' | 'stale' };

export interface ConditionEvent {
  readonly kind: 'raise' | 'clear';
  /** The exact instant: that of the sample, or that at which the delay ended between two samples. */
  readonly atMs: number;
  /** When the value had come in, epoch ms. */
  readonly sinceMs: number;
}

export interface ConditionStep {
  readonly state: ConditionState;
  /** In order of time. Two at most: a delay that ended before the sample, and the sample's own effect. */
  readonly events: readonly ConditionEvent[];
}

export const initialCondition: ConditionState = {
  raised: false,
  sinceMs: null,
  dueAtMs: null,
  heldMs: null,
  frozen: false,
  latestMs: null,
};

/**
 * Applies one sample: first the delay that ended before it, then the sample, then a delay that ends with it.
 *
 * High limit: in when value >= set point, out when value < set point - deadband; low limit mirrored. The on-delay runs while every
 * sample is in and is judged against the set point; the off-delay runs while every sample is out. Values hold between samples. A sample
 * and a delay at the same instant: the sample wins.
 *
 * Input that is not good neither raises nor clears. A pending on-delay is held (time without good data does not count, and it goes on if
 * the first good value is still in, so a signal that flickers cannot silence an alarm); a pending off-delay is dropped (clearing needs the
 * whole off-delay on good data).
 *
 * Source: set point, deadband and delays as in ISA-18.2 / IEC 62682 and OPC UA Part 9, B.1.5; the choice of >= against <, and the
 * handling of input that is not good, are our own rules. Edge: a sample older than the state is history and changes nothing.
 * @throws RangeError if the value is NaN, or the deadband or a delay is negative or not a number
 */
export function stepCondition(
  condition: Condition,
  state: ConditionState,
  sample: ConditionSample,
): ConditionStep {
  checkCondition(condition);
  if (state.latestMs !== null && sample.atMs < state.latestMs) return { state, events: [] };
  const before = endDelay(state, sample.atMs, 'before');
  const sampled =
    'value' in sample ? applyValue(condition, before.state, sample) : freeze(before.state, sample.atMs);
  const after = endDelay(sampled, sample.atMs, 'until');
  return before.events.length === 0 ? after : { ...after, events: [...before.events, ...after.events] };
}

/**
 * Lets time pass without a sample: a delay that ends before `atMs` takes effect at its own instant. What ends exactly at `atMs` waits,
 * because a sample of that instant may still come and wins. Calling this more often, or not at all, changes no event.
 * @param atMs event time, epoch ms
 */
export function advanceCondition(condition: Condition, state: ConditionState, atMs: number): ConditionStep {
  checkCondition(condition);
  return endDelay(state, atMs, 'before');
}

function applyValue(
  condition: Condition,
  state: ConditionState,
  sample: { atMs: number; value: number },
): ConditionState {
  if (Number.isNaN(sample.value)) throw new RangeError('value: a number is needed, got NaN');
  return state.raised
    ? watchForReturn(condition, state, sample.atMs, sample.value)
    : watchForOnset(condition, state, sample.atMs, sample.value);
}

function watchForOnset(
  condition: Condition,
  state: ConditionState,
  atMs: number,
  value: number,
): ConditionState {
  const isIn = condition.direction === 'high' ? value >= condition.setPoint : value <= condition.setPoint;
  const { raised } = state;
  if (!isIn) return { raised, sinceMs: null, dueAtMs: null, heldMs: null, frozen: false, latestMs: atMs };
  if (state.dueAtMs !== null) return { ...state, latestMs: atMs };
  const dueAtMs = atMs + (state.heldMs ?? milliseconds(condition.onDelayS));
  return { raised, sinceMs: state.sinceMs ?? atMs, dueAtMs, heldMs: null, frozen: false, latestMs: atMs };
}

function watchForReturn(
  condition: Condition,
  state: ConditionState,
  atMs: number,
  value: number,
): ConditionState {
  const { direction, setPoint, deadband, offDelayS } = condition;
  const isOut = direction === 'high' ? value < setPoint - deadband : value > setPoint + deadband;
  const dueAtMs = isOut ? (state.dueAtMs ?? atMs + milliseconds(offDelayS)) : null;
  return { ...state, dueAtMs, frozen: false, latestMs: atMs };
}

function freeze(state: ConditionState, atMs: number): ConditionState {
  const pending = !state.raised && state.dueAtMs !== null;
  const heldMs = pending ? Math.max(0, state.dueAtMs - atMs) : state.heldMs;
  return { ...state, dueAtMs: null, heldMs, frozen: true, latestMs: atMs };
}

/** The effect of a delay that ends `before` an instant, or `until` and including it. */
function endDelay(state: ConditionState, atMs: number, reach: 'before' | 'until'): ConditionStep {
  const { dueAtMs, sinceMs } = state;
  if (dueAtMs === null || sinceMs === null) return { state, events: [] };
  if (reach === 'before' ? dueAtMs >= atMs : dueAtMs > atMs) return { state, events: [] };
  const raised = !state.raised;
  return {
    state: { ...state, raised, sinceMs: raised ? sinceMs : null, dueAtMs: null, latestMs: dueAtMs },
    events: [{ kind: raised ? 'raise' : 'clear', atMs: dueAtMs, sinceMs }],
  };
}

function milliseconds(delayS: number): number {
  return Math.round(delayS * 1000);
}

function checkCondition(condition: Condition): void {
  const { setPoint, deadband, onDelayS, offDelayS } = condition;
  if (!Number.isFinite(setPoint))
    throw new RangeError(`setPoint: a finite number is needed, got ${setPoint}`);
  if (!(deadband >= 0))
    throw new RangeError(`deadband: at least 0 (unit of the value) is needed, got ${deadband}`);
  if (!(onDelayS >= 0)) throw new RangeError(`onDelayS: at least 0 s is needed, got ${onDelayS}`);
  if (!(offDelayS >= 0)) throw new RangeError(`offDelayS: at least 0 s is needed, got ${offDelayS}`);
}
