import type { AlarmKeyState } from '@edge-margin/alarms';
import { noRollSeen, type RollTrackerState, type WoundInAirState } from '@edge-margin/roll-geometry';
import type { Cell } from './cell.js';
import type { Latest } from './inputs.js';
import type { WoundRisk } from './wound-risk.js';

/**
 * What the service remembers of one station: one small JSON document. Alarms and the roll are legal state (migrated, never lost);
 * cells, latest values and speeds are warm-up state that a few seconds of readings rebuild.
 */
export interface StationState {
  readonly version: 1;
  /** The station's event time: the latest reading's time, or what ticks have moved it to. Null until the first. */
  readonly watermarkMs: number | null;
  /** How far readings arrive behind their event time, ms: grows at once, shrinks slowly. */
  readonly lagMs: number;
  readonly closedCell: number | null;
  /** Cells that are not closed yet, by index. */
  readonly cells: Readonly<Record<string, Cell>>;
  readonly latest: Readonly<Record<string, Latest>>;
  readonly gradeId: string;
  readonly roll: RollTrackerState;
  /** The record that was opened for the present roll. */
  readonly openRoll: {
    readonly rollId: string;
    readonly startedAtMs: number;
    readonly startUnknown: boolean;
  } | null;
  readonly wound: WoundRisk | null;
  /** Warm-up state of the measured wound-in air; left out until a roll is on. */
  readonly woundInAir?: WoundInAirState;
  /** Speeds of the last cells, latest last, m/s: tell a steady run from a ramp. */
  readonly speeds: readonly number[];
  readonly alarms: Readonly<Record<string, AlarmKeyState>>;
}

/** A station of which nothing has been seen. */
export function initialStation(gradeId: string): StationState {
  return {
    version: 1,
    watermarkMs: null,
    lagMs: 0,
    closedCell: null,
    cells: {},
    latest: {},
    gradeId,
    roll: noRollSeen,
    openRoll: null,
    wound: null,
    speeds: [],
    alarms: {},
  };
}
