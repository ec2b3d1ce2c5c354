import type { AlarmFlags, AlarmState } from './alarm-types.js';

/**
 * What can happen to an alarm that does not latch and must be acknowledged. `REALARM` annunciates a still active alarm anew,
 * here because its stage has risen.
 */
export type AlarmEvent = 'RAISE' | 'CLEAR' | 'ACK' | 'REALARM';

export interface AlarmChange {
  readonly flags: AlarmFlags;
  readonly displayed: AlarmState;
  /** `unchanged`: accepted, nothing to journal. `refused`: the event makes no sense in this state. */
  readonly outcome: 'changed' | 'unchanged' | 'refused';
}

/** The flags of an alarm that has nothing to say. */
export const normalFlags: AlarmFlags = { active: false, acknowledged: true };

const flagsOf: Readonly<Record<AlarmState, AlarmFlags>> = {
  NORM: normalFlags,
  UNACK: { active: true, acknowledged: false },
  ACKED: { active: true, acknowledged: true },
  RTNUN: { active: false, acknowledged: false },
};

/** `·`: accepted without change; `X`: refused. */
type Cell = AlarmState | '·' | 'X';

const cells: Readonly<Record<AlarmState, Readonly<Record<AlarmEvent, Cell>>>> = {
  NORM: { RAISE: 'UNACK', CLEAR: '·', ACK: 'X', REALARM: '·' },
  UNACK: { RAISE: '·', CLEAR: 'RTNUN', ACK: 'ACKED', REALARM: '·' },
  ACKED: { RAISE: '·', CLEAR: 'NORM', ACK: '·', REALARM: 'UNACK' },
  RTNUN: { RAISE: 'UNACK', CLEAR: '·', ACK: 'NORM', REALARM: '·' },
};

/** The state an operator sees, from the flags. */
export function displayedState(flags: AlarmFlags): AlarmState {
  if (flags.active) return flags.acknowledged ? 'ACKED' : 'UNACK';
  return flags.acknowledged ? 'NORM' : 'RTNUN';
}

/**
 * The flags after one event, for an alarm that does not latch and must be acknowledged.
 *
 * Source: the alarm state model of ISA-18.2 / IEC 62682, from memory of those standards; the flags as independent conditions after
 * OPC UA Part 9 (Alarms and Conditions), 5.7 and table B.1. Edge: an event that a state refuses leaves the flags as they are.
 * @param flags the alarm's flags before the event
 * @param event what happened
 */
export function nextAlarm(flags: AlarmFlags, event: AlarmEvent): AlarmChange {
  const from = displayedState(flags);
  const cell = cells[from][event];
  if (cell === '·') return { flags, displayed: from, outcome: 'unchanged' };
  if (cell === 'X') return { flags, displayed: from, outcome: 'refused' };
  return { flags: { ...flags, ...flagsOf[cell] }, displayed: cell, outcome: 'changed' };
}
