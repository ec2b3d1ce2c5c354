import { setAlarmBack } from '@edge-margin/alarms';
import { noWoundInAirSeen, type RollTrackerState } from '@edge-margin/roll-geometry';
import { reason } from '@edge-margin/units';
import type { Effect } from './effect.js';
import { cellEndMs, cellIndex } from './grid.js';
import type { OpenStation } from './open-station.js';
import type { StationState } from './station-state.js';

/**
 * A station's time further ahead of the clock than this means that the clock was set back, ms: decoding leaves no reading more than 2 s ahead of
 * its arrival, and ticks never lead.
 */
const aheadAtMostMs = 10_000;
/** Readings on their way, beyond the lag that they have shown, ms. */
const onTheirWayMs = 3000;

/**
 * Takes a station's time back where the clock was set back (a wrong clock put right, say). Otherwise every reading would be too late, and the
 * last assessment would stand, until the clock had made up for it. Alarms and the roll go on; cells that were open are let go, because their
 * time comes again. The time that is lived through twice is recorded as a gap: its later values hold.
 * @param clockMs when the row arrived, by the shell's clock, epoch ms
 * @returns whether the station's time was taken back
 */
export function followClockBack(
  stationKey: string,
  station: OpenStation,
  clockMs: number,
  effects: Effect[],
): boolean {
  const { watermarkMs } = station;
  if (watermarkMs === null || watermarkMs - clockMs <= aheadAtMostMs) return false;
  const closedCell = cellIndex(clockMs - station.lagMs - onTheirWayMs);
  const beginMs = cellEndMs(closedCell);
  station.settled = { ...stateSetBack(station.settled, beginMs, watermarkMs - beginMs), closedCell };
  station.watermarkMs = beginMs;
  station.cells.clear();
  effects.push(livedThroughTwice(stationKey, beginMs, watermarkMs));
  return true;
}

function stateSetBack(state: StationState, beginMs: number, byMs: number): StationState {
  const latest = Object.entries(state.latest).map(
    ([key, one]) => [key, { ...one, atMs: Math.min(one.atMs, beginMs) }] as const,
  );
  const alarms = Object.entries(state.alarms).map(
    ([key, alarm]) => [key, setAlarmBack(alarm, byMs)] as const,
  );
  return {
    ...state,
    latest: Object.fromEntries(latest),
    roll: rollSetBack(state.roll, beginMs),
    ...(state.woundInAir === undefined ? {} : { woundInAir: noWoundInAirSeen }),
    speeds: [],
    alarms: Object.fromEntries(alarms),
  };
}

function rollSetBack(roll: RollTrackerState, beginMs: number): RollTrackerState {
  const { atMs, lengthSignal } = roll;
  return {
    ...roll,
    atMs: atMs === null ? null : Math.min(atMs, beginMs),
    lengthSignal:
      lengthSignal === null ? null : { ...lengthSignal, atMs: Math.min(lengthSignal.atMs, beginMs) },
    diameterStep: null,
    lengthStep: null,
  };
}

function livedThroughTwice(stationKey: string, fromMs: number, toMs: number): Effect {
  const backS = Math.round((toMs - fromMs) / 1000);
  return {
    kind: 'gap',
    id: `${stationKey}:clock@${fromMs}-${toMs}`,
    gap: {
      what: 'series',
      fromMs,
      toMs,
      count: null,
      because: reason(
        'clock-set-back',
        `the clock was set back by ${backS} s: this time was lived through twice, and the later values hold`,
        { backS },
      ),
    },
  };
}
