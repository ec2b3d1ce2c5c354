import { nipMechanics } from './nip-mechanics.js';
import { closedRatioAfter, moveNip, type NipPeriod } from './nip-motion.js';
import { type NipSummary, nipSummary } from './nip-summary.js';
import type { LineState } from './line.js';
import type { Acting } from './set-points.js';
import { SMOOTH } from './print.js';
import type { StationModel } from './station-model.js';
import type { StationState } from './station-state.js';
import type { Stretch } from './stretch.js';
import { advanceWave, beginWave, type WaveBlock } from './wave-block.js';

export interface NipStep {
  readonly state: StationState['nip'];
  readonly period: NipPeriod;
  readonly summary: NipSummary;
  /** A block of wave form that is full now. */
  readonly block: WaveBlock | null;
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
  const mechanics = nipMechanics(station.nip, station.widthM);
  const summary = nipSummary(moved.period, mechanics);
  const { wave } = station.nip;
  if (wave === undefined || moved.state.wave === undefined) return { ...moved, summary, block: null };
  const gathered = advanceWave(station.nip, wave, moved.state.wave, {
    stretch: at.stretch,
    trace: moved.period.trace,
    mechanics,
  });
  return { ...moved, state: { ...moved.state, wave: gathered.state }, summary, block: gathered.block };
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
  const smooth = state.nip.print === undefined ? {} : { print: SMOOTH };
  const { wave } = state.nip;
  const begun = wave === undefined ? {} : { wave: beginWave(wave.stream) };
  return { ...state, nip: { ...state.nip, ...smooth, ...begun, closedRatio: 0, roller: null } };
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
