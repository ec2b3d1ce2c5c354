import { closeRoll, noteRoll } from '../truth/roll-truth.js';
import { resumeStream } from '../random/random-stream.js';
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
import type { WebPeriod } from './web.js';
import { filmsOf, wind } from './wind.js';
import type { Winding } from './winding.js';
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
      strips: model.strips,
    }),
  };
}

/** What the operator does now. */
export function operated(model: StationModel, state: StationState, now: Moment): StationState {
  const { operator: script, shifts } = model.station;
  if (state.roll.isFinished || script.length === 0) return state;
  const crew = resumeStream(state.crew);
  const readiness =
    shifts.find(({ fromS, forS }) => now.atS >= fromS && now.atS < fromS + forS)?.reactRatio ?? 1;
  const operator = operate(script, state.operator, {
    diameterM: 2 * state.roll.radiusM,
    ageS: (now.atMs - state.roll.startedAtMs) / 1000,
    swingRatio: state.seenSwingRatio,
    periodS: model.scenario.samplePeriodS,
    isDone: (chance) => chance * readiness >= 1 || crew.uniform() < chance * readiness,
  });
  return operator === state.operator ? state : { ...state, operator, crew: crew.state() };
}

/** What roll and operator ask of the line. */
export function lineDemand({ station }: StationModel, { roll, operator }: StationState): LineDemand {
  const remainingM = lengthBetween(2 * roll.radiusM, station.setEndDiameterM, roll.layerM);
  return { remainingM, speedRatio: operator.speedRatio };
}

/** How web and roll move in the coming period; a finished roll takes up nothing, nor does one whose web has broken. */
export function stretchOf(
  model: StationModel,
  state: StationState,
  line: LineState,
  now: Moment,
  web: WebPeriod | null,
): Stretch {
  const durationS = model.scenario.samplePeriodS;
  const from = state.speedMPerS;
  const to = web?.speedMPerS.to ?? Math.max(0, line.speedMPerS * (1 + state.disturbances.speed.value));
  const isHeld = state.roll.isFinished || line.phase === 'break';
  const lengthM = isHeld ? 0 : ((from + to) / 2) * durationS;
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

/** Winds for one period, or lets the roll settle while it stands; at the end of the set the roll is closed and the nip opens. */
export function stepRoll(model: StationModel, state: StationState, now: Moment, winding: Winding): WindStep {
  const { stretch, nip, acting } = winding;
  const { phase } = state.line;
  const endMs = now.atMs + stretch.durationS * 1000;
  const isStill = stretch.lengthM.to <= stretch.lengthM.from;
  if (state.roll.isFinished) return { state: withNipOpen(state), film: null, truth: [] };
  if (isStill && phase === 'set-change' && state.roll.lengthM > 0) return closed(model, state, endMs);
  if (isStill && phase !== 'stop' && phase !== 'break')
    return { state: withNipOpen(state), film: null, truth: [] };
  const films = filmsOf(model, winding, state.roll);
  const wound = wind(model, state.roll, winding, films);
  const lostRatio = nip?.summary.lostRatio ?? OPEN_NIP.lostRatio;
  const noted = noteRoll(model, wound, acting, {
    endMs,
    durationS: stretch.durationS,
    lostRatio,
    web: winding.web,
    speedMPerS: stretch.speedMPerS.to,
  });
  const film = films[0]?.film ?? null;
  if (phase !== 'set-change') return { state: { ...state, roll: noted.roll }, film, truth: noted.truth };
  const done = closed(model, { ...state, roll: noted.roll }, endMs);
  return { ...done, film, truth: [...noted.truth, ...done.truth] };
}

function closed(model: StationModel, state: StationState, endMs: number): WindStep {
  const { roll, truth } = closeRoll(model, state.roll, endMs);
  return { state: withNipOpen({ ...state, roll }), film: null, truth };
}
