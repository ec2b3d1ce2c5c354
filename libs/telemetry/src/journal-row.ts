import type { Reason } from '@edge-margin/units';

/**
 * The rows that can change derived state. The shell gives each of them a position in one order, and stores nothing that a row brings
 * about before the row is on disk. Folding the same rows from the same state gives bit-equal results. The kinds are frozen: a new need is a new
 * field or a new command, not a new kind.
 */
export type JournalRow = MessageRow | CommandRow | ConfigRow | LinkRow | TickRow;

interface RowBase {
  /** Counts up from 1 over all segments, without gaps. */
  readonly position: number;
  /** When the shell took it in, epoch ms by the shell's clock. */
  readonly arrivedAtMs: number;
}

/** One MQTT message as it came, not yet interpreted. */
export interface MessageRow extends RowBase {
  readonly kind: 'message';
  readonly topic: string;
  readonly payload: Uint8Array;
  readonly qos: 0 | 1 | 2;
  readonly retain: boolean;
  /** The broker says that it may have sent this before. */
  readonly dup: boolean;
}

/** What a person (or a machine on a person's behalf) asked for. The answer is given after the row is durable and folded. */
export interface CommandRow extends RowBase {
  readonly kind: 'command';
  /** Made by the caller; the same id twice is one command. */
  readonly commandId: string;
  readonly actor: string;
  readonly command: Command;
}

export type Command = AcknowledgeAlarm | ReportOwnTrouble;

export interface AcknowledgeAlarm {
  readonly type: 'acknowledge-alarm';
  readonly alarmKey: string;
  readonly occurrenceId: string;
  readonly comment?: string;
}

/** The service about itself, with the actor `edge-margin`: written only where something has changed. */
export interface ReportOwnTrouble {
  readonly type: 'report-own-trouble';
  /** Name of the trouble; one that a version does not know is passed over. */
  readonly trouble: string;
  /** How far it has come; null where it is over. */
  readonly stage: 'foreseen' | 'reached' | null;
  readonly because: Reason;
}

/** The plant file that holds from here on, whole. */
export interface ConfigRow extends RowBase {
  readonly kind: 'config';
  /** Text of the plant file (YAML). */
  readonly plantFile: string;
  /** First 12 hex digits of the SHA-256 of the text. */
  readonly revision: string;
}

/** A connection came up or went down. */
export interface LinkRow extends RowBase {
  readonly kind: 'link';
  readonly link: 'broker';
  readonly state: 'up' | 'down';
  /** On `up`: whether the broker had kept our session; `false` after an outage means that messages may be lost. */
  readonly sessionPresent?: boolean;
  readonly detail?: string;
}

/** Time passed. The shell appends one a second, but none while a backlog is being caught up. */
export interface TickRow extends RowBase {
  readonly kind: 'tick';
}

type WithoutPosition<T> = T extends unknown ? Omit<T, 'position'> : never;

/** A row before the journal has given it a position. */
export type NewJournalRow = WithoutPosition<JournalRow>;
