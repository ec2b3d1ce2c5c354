import type { Reason } from '@edge-margin/units';
import type { AlarmKeyState, AlarmText } from './alarm-state.js';
import type { AlarmStage, AlarmTransition } from './alarm-types.js';

/** What an alarm is told. */
export type AlarmInput = AlarmSample | AlarmTime | AlarmAcknowledgement;

/** The values at one event time. A stage that is not named keeps its last value; `stale` means that there is no value to go by. */
export interface AlarmSample extends AlarmText {
  readonly kind: 'sample';
  readonly atMs: number;
  /** In the unit of each stage's condition; Infinity where a boundary lies further away than anything. */
  readonly values: Readonly<Partial<Record<AlarmStage, number | 'stale'>>>;
}

/** Event time has come to `atMs` and no sample before it is outstanding. */
export interface AlarmTime {
  readonly kind: 'time';
  readonly atMs: number;
}

/** A person has taken note of one occurrence. */
export interface AlarmAcknowledgement {
  readonly kind: 'acknowledge';
  readonly atMs: number;
  readonly occurrenceId: string;
  readonly actor: string;
  readonly comment: string | null;
}

export interface AlarmStep {
  readonly state: AlarmKeyState;
  /** In order of time, to be journaled and published. Doing one twice changes nothing. */
  readonly transitions: readonly AlarmTransition[];
  /** Why an acknowledgement was not accepted; null otherwise. */
  readonly refused: Reason | null;
}
