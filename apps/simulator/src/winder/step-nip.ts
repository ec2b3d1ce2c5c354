import { nipMechanics } from './nip-mechanics.js';
import { closedRatioAfter, moveNip, type NipPeriod } from './nip-motion.js';
import { type NipSummary, nipSummary } from './nip-summary.js';
import type { LineState } from './line.js';
import type { Acting } from './set-points.js';
import type { StationModel } from './station-model.js';
import type { StationState } from './station-state.js';
import type { Stretch } from './stretch.js';

export interface NipStep {
  readonly state: StationState['nip'];
  readonly period: NipPeriod;
  readonly summary: NipSummary;
}

/** Moves a closed nip through one sample period; null: there is none, or it is open. */
export function stepNip(
  { station, scenario }: StationModel,
  state: StationState,
  at: { readonly stretch: Stretch; readonly acting: Acting; readonly closedRatio: number },
): NipStep | null {
  if (station.nip === null || state.nip === null || at.closedRatio === 0) return null;
  const moved = moveNip(station.nip, station.widthM, state.nip, {
    stretch: at.stretch,
    closingN: at.acting.closingN,
    closedRatio: at.closedRatio,
    timeStepS: scenario.timeStepS,
  });
  return { ...moved, summary: nipSummary(moved.period, nipMechanics(station.nip, station.widthM)) };
}

/** How far the nip is closed at the end of the coming period. */
export function closedRatio(
  { station, scenario }: StationModel,
  state: StationState,
  line: LineState,
): number {
  const isClosed = line.phase !== 'set-change' || line.leftS <= (station.nip?.closesBeforeStartS ?? 0);
  return closedRatioAfter(state.nip?.closedRatio ?? 0, isClosed, scenario.samplePeriodS);
}

/** The nip of a roll that is finished is open. */
export function withNipOpen(state: StationState): StationState {
  if (!state.roll.isFinished || state.nip === null) return state;
  return { ...state, nip: { ...state.nip, closedRatio: 0, roller: null } };
}

/** The worst of the nip so far, this period included. */
export function worse(sofar: StationState['worst'], now: NipSummary): StationState['worst'] {
  const larger = (name: 'lostRatio' | 'inertiaRatio' | 'swingRatio') =>
    [Math.max(sofar[name][0], now[name][0]), Math.max(sofar[name][1], now[name][1])] as const;
  return {
    lostRatio: larger('lostRatio'),
    inertiaRatio: larger('inertiaRatio'),
    swingRatio: larger('swingRatio'),
  };
}
