import type { Reason } from '@edge-margin/units';
import type {
  AlarmFlags,
  AlarmPriority,
  AlarmStage,
  AlarmTransition,
  AlarmView,
  Mechanism,
} from './alarm-types.js';
import type { Condition, ConditionState } from './condition.js';
import { displayedState, normalFlags } from './next-alarm.js';

/** What one alarm key watches for. Made from the plant file; it may change while the alarm's state lives on. */
export interface AlarmDefinition {
  readonly alarmKey: string;
  readonly winderId: string;
  readonly stationId: string;
  readonly mechanism: Mechanism;
  /** The stages this alarm has, each with its own condition on its own value. An alarm with one stage names that one only. */
  readonly stages: Readonly<Partial<Record<AlarmStage, StageDefinition>>>;
  /** Written into every transition. */
  readonly modelRevision: string;
  readonly configurationRevision: string;
}

export interface StageDefinition {
  readonly condition: Condition;
  readonly priority: AlarmPriority;
}

/** What the operator is told: what is wrong, and what can be done. */
export interface AlarmText {
  readonly because: Reason;
  readonly response: string;
}

/** What one alarm remembers: legal state, to be kept over restarts. JSON; it does not grow. */
export interface AlarmKeyState {
  readonly flags: AlarmFlags;
  readonly conditions: Readonly<Partial<Record<AlarmStage, ConditionState>>>;
  /** Text of the latest sample, for a delay that ends before the next one. */
  readonly text: AlarmText | null;
  /** The present occurrence or the last one; null before the first. */
  readonly occurrence: Occurrence | null;
}

/** One time that the condition held, from its onset on. */
export interface Occurrence {
  readonly sinceMs: number;
  readonly raisedAtMs: number;
  readonly clearedAtMs: number | null;
  readonly stage: AlarmStage;
  /** The latest text while it was active. */
  readonly text: AlarmText;
  readonly acknowledged: AlarmView['acknowledged'];
  /** How often each kind of transition was journaled, so that repeats have ids of their own. */
  readonly journaled: Readonly<Partial<Record<AlarmTransition['kind'], number>>>;
}

export type WithOccurrence = AlarmKeyState & { readonly occurrence: Occurrence };

/** The stages an alarm may have, lowest first. */
export const alarmStages: readonly AlarmStage[] = ['foreseen', 'reached'];

export const initialAlarm: AlarmKeyState = {
  flags: normalFlags,
  conditions: {},
  text: null,
  occurrence: null,
};

/** The name of an occurrence: alarm key, `@`, event time of its onset (epoch ms). Equal in every replay. */
export function occurrenceId(definition: AlarmDefinition, occurrence: Occurrence): string {
  return `${definition.alarmKey}@${occurrence.sinceMs}`;
}

/** The alarm as the operator sees it; null before its first occurrence. After its last one it stays, as `NORM`. */
export function alarmView(definition: AlarmDefinition, state: WithOccurrence): AlarmView;
export function alarmView(definition: AlarmDefinition, state: AlarmKeyState): AlarmView | null;
export function alarmView(definition: AlarmDefinition, state: AlarmKeyState): AlarmView | null {
  const { occurrence } = state;
  if (occurrence === null) return null;
  return {
    alarmKey: definition.alarmKey,
    occurrenceId: occurrenceId(definition, occurrence),
    winderId: definition.winderId,
    stationId: definition.stationId,
    mechanism: definition.mechanism,
    stage: occurrence.stage,
    state: displayedState(state.flags),
    priority: definition.stages[occurrence.stage]?.priority ?? 'low',
    because: occurrence.text.because,
    response: occurrence.text.response,
    conditionSinceMs: occurrence.sinceMs,
    raisedAtMs: occurrence.raisedAtMs,
    clearedAtMs: occurrence.clearedAtMs,
    acknowledged: occurrence.acknowledged,
    inputQuality: Object.values(state.conditions).some((condition) => condition.frozen) ? 'stale' : 'good',
  };
}
