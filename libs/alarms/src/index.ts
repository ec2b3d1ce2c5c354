/**
 * The alarm of one mechanism at one station: when it is raised, how far it has gone, who has taken note of it.
 *
 * In: a value per stage (`foreseen`: e.g. the time until the earliest boundary; `reached`: e.g. the edge risk), or the news that the
 * value is stale; the passing of event time; acknowledgements. Out: the next state, and a journal row for every transition.
 *
 * Layers, each a pure fold that may be used alone:
 * - `stepCondition` / `advanceCondition`: set point, deadband, on-delay and off-delay of one value, exact to the millisecond of event time;
 * - `nextAlarm`: the table of the displayed states NORM, UNACK, ACKED and RTNUN;
 * - `stepAlarm`: both together, with stages and occurrences. `alarmView` shows the result.
 *
 * Valid for alarms that do not latch and that must be acknowledged. Shelving, suppression and out-of-service are not part of it.
 * Input that is bad or stale freezes an alarm: it neither raises nor clears. Time is event time only; nothing here reads a clock. The same
 * inputs give the same transitions with the same ids, whether or not the state went through JSON in between.
 *
 * Sources: the alarm states, delays and deadbands of ISA-18.2 and IEC 62682 (from memory of those standards) and of OPC UA Part 9, Alarms
 * and Conditions (openly published); where they leave room the rule is our own and said so beside the function.
 */
export type * from './alarm-types.js';
export { type AlarmChange, type AlarmEvent, displayedState, nextAlarm, normalFlags } from './next-alarm.js';
export {
  type Condition,
  type ConditionEvent,
  type ConditionSample,
  type ConditionState,
  type ConditionStep,
  advanceCondition,
  initialCondition,
  stepCondition,
} from './condition.js';
export {
  type AlarmDefinition,
  type AlarmKeyState,
  type AlarmText,
  type Occurrence,
  type StageDefinition,
  alarmView,
  initialAlarm,
  occurrenceId,
} from './alarm-state.js';
export type { AlarmAcknowledgement, AlarmInput, AlarmSample, AlarmStep, AlarmTime } from './alarm-input.js';
export { setAlarmBack } from './set-alarm-back.js';
export { stepAlarm } from './step-alarm.js';
