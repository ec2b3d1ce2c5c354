import { closeRoll, noteRoll } from '../truth/roll-truth.js';
import type { TruthRecord } from '../truth/truth-record.js';
import type { LineDemand, LineState } from './line.js';
import { OPEN_NIP } from './nip-summary.js';
import { operate, UNTOUCHED } from './operator.js';
import { rollOnCore } from './roll-state.js';
import { lengthBetween, spiralTurns } from './spiral.js';
import type { Moment, StationModel } from './station-model.js';
import type { StationState } from './station-state.js';
import { withNipOpen } from './step-nip.js';
import type { Stretch } from './stretch.js';
import { filmOf, stackLoad, wind, type Winding } from './wind.js';
import type { WoundFilm } from './wound-film.js';

/** In the middle of a set change the new core is put in place, and what the operator had set is undone. */
export function withNewCore(model: StationModel, state: StationState, now: Moment): StationState {
  const isTime =
    state.line.phase === 'set-change' && state.line.leftS <= model.station.programme.setChangeS / 2;
  if (!state.roll.isFinished || !isTime) return state;
  return {
    ...state,
    operator: UNTOUCHED,
    roll: rollOnCore({
      number: state.roll.number + 1,
      startedAtMs: now.atMs,
      radiusM: model.station.coreDiameterM / 2,
      turns: 0,
      layerM: state.roll.layerM,
    }),
  };
}

/** What the operator does now. */
export function operated(model: StationModel, state: StationState, now: Moment): StationState {
  if (state.roll.isFinished) return state;
  const seen = { diameterM: 2 * state.roll.radiusM, ageS: (now.atMs - state.roll.startedAtMs) / 1000 };
  return { ...state, operator: operate(model.station.operator, state.operator, seen) };
}

/** What roll and operator ask of the line. */
export function lineDemand({ station }: StationModel, { roll, operator }: StationState): LineDemand {
  const remainingM = lengthBetween(2 * roll.radiusM, station.setEndDiameterM, roll.layerM);
  return { remainingM, speedRatio: operator.speedRatio };
}

/** How web and roll move in the coming period; a finished roll takes up nothing. */
export function stretchOf(model: StationModel, state: StationState, line: LineState, now: Moment): Stretch {
  const durationS = model.scenario.samplePeriodS;
  const from = state.speedMPerS;
  const to = Math.max(0, line.speedMPerS * (1 + state.disturbances.speed.value));
  const lengthM = state.roll.isFinished ? 0 : ((from + to) / 2) * durationS;
  const turns = spiralTurns({ radiusM: state.roll.radiusM, layerM: state.roll.layerM, lengthM });
  return {
    durationS,
    fromS: now.atS,
    speedMPerS: { from, to },
    turns: { from: state.roll.turns, to: state.roll.turns + turns },
    lengthM: { from: state.webM, to: state.webM + lengthM },
  };
}

export interface WindStep {
  readonly state: StationState;
  readonly film: WoundFilm | null;
  readonly truth: readonly TruthRecord[];
}

/** Winds for one period; at the end of the set the roll is closed and the nip opens. */
export function stepRoll(model: StationModel, state: StationState, now: Moment, winding: Winding): WindStep {
  const { stretch, nip, acting } = winding;
  if (state.roll.isFinished || stretch.lengthM.to <= stretch.lengthM.from)
    return { state: withNipOpen(state), film: null, truth: [] };
  const film = filmOf(model, winding);
  const wound = wind(model, state.roll, winding, film);
  const endMs = now.atMs + stretch.durationS * 1000;
  const lostRatio = nip?.summary.lostRatio ?? OPEN_NIP.lostRatio;
  const load = stackLoad(model, acting, wound.radiusM);
  const noted = noteRoll(model, wound, load, { endMs, durationS: stretch.durationS, lostRatio });
  if (state.line.phase !== 'set-change')
    return { state: { ...state, roll: noted.roll }, film, truth: noted.truth };
  const closed = closeRoll(model, noted.roll, endMs);
  return {
    state: withNipOpen({ ...state, roll: closed.roll }),
    film,
    truth: [...noted.truth, ...closed.truth],
  };
}
