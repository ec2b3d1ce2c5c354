import type { Reason } from '@edge-margin/units';

/** Displayed states of ISA-18.2 / IEC 62682, as far as an alarm without latching and without overlays reaches them. */
export type AlarmState = 'NORM' | 'UNACK' | 'ACKED' | 'RTNUN';
export type AlarmPriority = 'low' | 'medium' | 'high';
/** `service`: the service itself is in trouble, which belongs to no station. */
export type Mechanism = 'air' | 'nip' | 'signal' | 'service';
/** An alarm key has one occurrence at a time; its stage may rise while it lasts. */
export type AlarmStage = 'foreseen' | 'reached';

/** Independent flags; the displayed state is derived from them. */
export interface AlarmFlags {
  readonly active: boolean;
  readonly acknowledged: boolean;
}

/** One alarm as the operator sees it. */
export interface AlarmView {
  /** `winder.station.mechanism`, or `service.site.trouble` for the service's own; safe in an address and in a topic level. */
  readonly alarmKey: string;
  /** Alarm key + `@` + event time (epoch ms) at which the condition of this occurrence began. Survives replay. */
  readonly occurrenceId: string;
  /** Empty for an alarm of the service itself. */
  readonly winderId: string;
  /** Empty for an alarm of the service itself. */
  readonly stationId: string;
  readonly mechanism: Mechanism;
  readonly stage: AlarmStage;
  readonly state: AlarmState;
  readonly priority: AlarmPriority;
  /** What is wrong, one sentence with figures. */
  readonly because: Reason;
  /** What the operator can do, one sentence. */
  readonly response: string;
  /** Event time at which the condition began. */
  readonly conditionSinceMs: number;
  /** Event time at which the alarm was annunciated (condition start plus on-delay). */
  readonly raisedAtMs: number;
  readonly clearedAtMs: number | null;
  readonly acknowledged: {
    readonly atMs: number;
    readonly actor: string;
    readonly comment: string | null;
  } | null;
  /** Input is bad or stale: the alarm is frozen, not cleared. */
  readonly inputQuality: 'good' | 'stale';
}

/** One row of the alarm journal. */
export interface AlarmTransition {
  /** alarmKey + `@` + event time of the occurrence + kind (+ stage): doing it twice changes nothing. */
  readonly id: string;
  readonly kind: 'raise' | 'escalate' | 'de-escalate' | 'clear' | 'acknowledge';
  readonly from: AlarmState;
  readonly to: AlarmState;
  readonly atMs: number;
  readonly actor: string | null;
  readonly alarm: AlarmView;
  /** The journal row at which it came about; left out where the record is older than this. Added by the shell, no part of what is folded. */
  readonly row?: {
    readonly position: number;
    readonly kind: 'message' | 'command' | 'config' | 'link' | 'tick';
    readonly arrivedAtMs: number;
    /** Of a message. */
    readonly topic?: string;
  };
  readonly modelRevision: string;
  readonly configurationRevision: string;
}
