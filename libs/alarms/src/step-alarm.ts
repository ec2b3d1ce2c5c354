import { type Reason, reason } from '@edge-margin/units';
import type { AlarmAcknowledgement, AlarmInput, AlarmSample, AlarmStep } from './alarm-input.js';
import {
  type AlarmDefinition,
  type AlarmKeyState,
  type StageDefinition,
  type WithOccurrence,
  occurrenceId,
} from './alarm-state.js';
import type { AlarmStage } from './alarm-types.js';
import {
  type ConditionSample,
  type ConditionState,
  type ConditionStep,
  advanceCondition,
  initialCondition,
  stepCondition,
} from './condition.js';
import { nextAlarm } from './next-alarm.js';
import { acknowledgeOccurrence, followStages } from './occurrence.js';
import type { StageSteps } from './raised-stages.js';

/**
 * One step of one alarm: its stages' conditions, the flags, and the occurrence.
 *
 * The alarm is raised when any stage's condition is raised and clears when none is left. While it lasts, a rise from `foreseen` to
 * `reached` annunciates it anew (unacknowledged again, whoever acknowledged the lower stage); the way back does not. An occurrence is
 * named by the onset of the condition that raised it, so that a late acknowledgement cannot reach a newer occurrence; a repeated
 * acknowledgement of the same occurrence is accepted and journaled once.
 *
 * Source: ISA-18.2 / IEC 62682 from memory, OPC UA Part 9; stages and the naming of occurrences are our own rules. Edge: a sample older
 * than the state is history and changes nothing; a state after a JSON round trip is as good as the state itself.
 * @param definition what the alarm watches for, with the revisions that stand in its transitions
 * @param state from the last step, or `initialAlarm`
 * @param input values, time or an acknowledgement; instants in epoch ms
 * @throws RangeError if a value is NaN or a condition of the definition makes no sense
 */
export function stepAlarm(definition: AlarmDefinition, state: AlarmKeyState, input: AlarmInput): AlarmStep {
  switch (input.kind) {
    case 'sample':
      return applySample(definition, state, input);
    case 'time':
      return letTimePass(definition, state, input.atMs);
    case 'acknowledge':
      return acknowledge(definition, state, input);
  }
}

function applySample(definition: AlarmDefinition, state: AlarmKeyState, sample: AlarmSample): AlarmStep {
  const { atMs, because, response } = sample;
  if (isHistory(state, atMs)) return unchanged(state);
  // Time passes first, with the text and the quality that held until now.
  const passed = letTimePass(definition, state, atMs);
  const steps = stepConditions(definition, passed.state, atMs, sample.values);
  const step = followStages(definition, passed.state, steps, { atMs, text: { because, response } });
  if (passed.transitions.length === 0) return step;
  return { ...step, transitions: [...passed.transitions, ...step.transitions] };
}

function letTimePass(definition: AlarmDefinition, state: AlarmKeyState, atMs: number): AlarmStep {
  const { foreseen, reached } = state.conditions;
  if (!endsBefore(foreseen, atMs) && !endsBefore(reached, atMs)) return unchanged(state);
  const steps = stepConditions(definition, state, atMs, {});
  const ended = Object.values(steps).some((step) => step.events.length > 0);
  return ended ? followStages(definition, state, steps, null) : unchanged(state);
}

/** Whether a delay of the condition may end before an instant: mostly none runs, and there is nothing to do. */
function endsBefore(condition: ConditionState | undefined, atMs: number): boolean {
  return condition !== undefined && condition.dueAtMs !== null && condition.dueAtMs < atMs;
}

function acknowledge(
  definition: AlarmDefinition,
  state: AlarmKeyState,
  input: AlarmAcknowledgement,
): AlarmStep {
  if (!hasOccurrence(state))
    return { ...unchanged(state), refused: nothingToAcknowledge(definition.alarmKey) };
  const present = occurrenceId(definition, state.occurrence);
  if (input.occurrenceId !== present)
    return { ...unchanged(state), refused: notThePresent(input.occurrenceId, present) };
  const { flags, outcome } = nextAlarm(state.flags, 'ACK');
  // In NORM and ACKED this occurrence has its acknowledgement already: the repeat is accepted and changes nothing.
  if (outcome !== 'changed') return unchanged(state);
  const { state: after, transition } = acknowledgeOccurrence(definition, state, flags, input);
  return { state: after, transitions: [transition], refused: null };
}

function stepConditions(
  definition: AlarmDefinition,
  state: AlarmKeyState,
  atMs: number,
  values: AlarmSample['values'],
): StageSteps {
  const step = (stage: AlarmStage, { condition }: StageDefinition): ConditionStep => {
    const before = state.conditions[stage] ?? initialCondition;
    const value = values[stage];
    return value === undefined
      ? advanceCondition(condition, before, atMs)
      : stepCondition(condition, before, sampleOf(atMs, value));
  };
  const { foreseen, reached } = definition.stages;
  return {
    ...(foreseen === undefined ? {} : { foreseen: step('foreseen', foreseen) }),
    ...(reached === undefined ? {} : { reached: step('reached', reached) }),
  };
}

function sampleOf(atMs: number, value: number | 'stale'): ConditionSample {
  return value === 'stale' ? { atMs, quality: 'stale' } : { atMs, value };
}

function isHistory({ conditions }: AlarmKeyState, atMs: number): boolean {
  return isAhead(conditions.foreseen, atMs) || isAhead(conditions.reached, atMs);
}

function isAhead(condition: ConditionState | undefined, atMs: number): boolean {
  return condition !== undefined && condition.latestMs !== null && atMs < condition.latestMs;
}

function hasOccurrence(state: AlarmKeyState): state is WithOccurrence {
  return state.occurrence !== null;
}

function unchanged(state: AlarmKeyState): AlarmStep {
  return { state, transitions: [], refused: null };
}

function nothingToAcknowledge(alarmKey: string): Reason {
  return reason(
    'nothing-to-acknowledge',
    `alarm ${alarmKey} has had no occurrence that could be acknowledged`,
    { alarmKey },
  );
}

function notThePresent(asked: string, present: string): Reason {
  const text = `${asked} is not the present occurrence, which is ${present}: look at that one before it is acknowledged`;
  return reason('not-the-present-occurrence', text, { asked, present });
}
