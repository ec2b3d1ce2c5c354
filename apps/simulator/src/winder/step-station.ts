import type { Message } from '../instruments/message.js';
import { stateTruth } from '../truth/state-truth.js';
import { resumeStream } from '../random/random-stream.js';
import type { TruthRecord } from '../truth/truth-record.js';
import { advanceLine } from './line.js';
import { OPEN_NIP } from './nip-summary.js';
import { reportStation } from './report-station.js';
import { withBump } from './print.js';
import { actingOn } from './set-points.js';
import type { Moment, StationModel } from './station-model.js';
import { DISTURBANCES, type Disturbance, type StationState, wanderings } from './station-state.js';
import { closedRatio, stepNip, worse } from './step-nip.js';
import { lineDemand, operated, stepRoll, stretchOf, withNewCore } from './step-roll.js';
import { advanceWander, type Wander } from './wander.js';
import type { LineEvent, WebPeriod } from './web.js';

export interface StationStep {
  readonly state: StationState;
  readonly messages: readonly Message[];
  readonly truth: readonly TruthRecord[];
}

/** A station whose crew and chance have done what they do before the web moves. */
export interface PreparedStation {
  readonly model: StationModel;
  readonly state: StationState;
  /** Film of the grade that is wound now over that of the planned one, for the same draw. */
  readonly filmRatio: number;
}

/** Disturbances, new core, operator, grade: everything before the web moves. */
export function prepareStation(planned: StationModel, before: StationState, now: Moment): PreparedStation {
  const disturbedState = withNewCore(planned, disturbed(planned, before), now);
  const model = graded(planned, disturbedState, now);
  const filmRatio = model.grade.film.bias.median / planned.grade.film.bias.median;
  return { model, filmRatio, state: operated(model, noteGrade(planned, model, disturbedState, now), now) };
}

/** One sample period of a prepared station: line (its own, or that of all), nip, roll, then what the instruments make of it. */
export function stepStation(
  { model, state: set, filmRatio }: PreparedStation,
  web: WebPeriod | null,
  now: Moment,
): StationStep {
  const { station, scenario } = model;
  const line =
    web?.line ?? advanceLine(station.programme, set.line, lineDemand(model, set), scenario.samplePeriodS);
  const closed = closedRatio(model, set, line);
  const acting = actingOn(station, { ...set, line, filmBias: set.filmBias * filmRatio }, now.atS, closed);
  const stretch = stretchOf(model, set, line, now, web);
  const nip = stepNip(model, set, { stretch, acting, closedRatio: closed });
  const summary = nip?.summary ?? OPEN_NIP;
  const jumped = line.phase === set.line.phase ? set : shaken(model, set);
  const moved = withEvents(
    {
      ...jumped,
      line,
      speedMPerS: stretch.speedMPerS.to,
      webM: stretch.lengthM.to,
      nip: nip?.state ?? set.nip,
      seenSwingRatio: Math.max(...summary.cellSwingRatio),
      worst: worse(set.worst, summary),
    },
    web?.events ?? [],
    now,
  );
  const { cutSeed } = set;
  const wound = stepRoll(model, moved, now, {
    stretch,
    acting,
    nip,
    radiusM: set.roll.radiusM,
    web,
    cutSeed,
  });
  const recorded = stateTruth(model, wound.state, { now, acting, summary, film: wound.film, web });
  const seen = { summary, block: nip?.block ?? null };
  const reported = reportStation(model, recorded.state, acting, seen, now);
  return {
    state: reported.state,
    messages: reported.messages,
    truth: [...wound.truth, ...(recorded.truth === null ? [] : [recorded.truth])],
  };
}

function disturbed(model: StationModel, state: StationState): StationState {
  const how = wanderings(model.station, model.grade);
  const next = (d: Disturbance) =>
    [d, advanceWander(state.disturbances[d], how[d], model.scenario.samplePeriodS)] as const;
  return {
    ...state,
    disturbances: Object.fromEntries(DISTURBANCES.map(next)) as Record<Disturbance, Wander>,
  };
}

/** The station with the grade that it winds now: the last of its changes that is due; the outer wraps count as the new grade. */
function graded(model: StationModel, { roll }: StationState, now: Moment): StationModel {
  const due = model.station.gradeChanges.filter(({ at }) =>
    'atS' in at ? now.atS >= at.atS : 2 * roll.radiusM >= at.diameterM && !roll.isFinished,
  );
  const id = due[due.length - 1]?.grade;
  const grade = id === undefined ? undefined : model.scenario.grades[id];
  return grade === undefined ? model : { ...model, grade };
}

function noteGrade(
  planned: StationModel,
  model: StationModel,
  state: StationState,
  now: Moment,
): StationState {
  const changes = state.roll.events.filter(({ what }) => what === 'grade-change').length;
  if (model.grade === planned.grade || changes > 0) return state;
  const event = { what: 'grade-change', atMs: now.atMs, diameterM: 2 * state.roll.radiusM } as const;
  return { ...state, roll: { ...state.roll, events: [...state.roll.events, event] } };
}

/** A change of what the line does shakes the shaft to another place in its end play. */
function shaken({ station }: StationModel, state: StationState): StationState {
  const jumpM = station.path.shaft?.jumpM ?? 0;
  if (jumpM === 0) return state;
  const stream = resumeStream(state.crew);
  return { ...state, shaftJumpM: jumpM * (2 * stream.uniform() - 1), crew: stream.state() };
}

/** What happens to the web is noted in the roll; a splice makes a bump under the nip. */
function withEvents(state: StationState, events: readonly LineEvent[], now: Moment): StationState {
  if (events.length === 0 || state.roll.isFinished) return state;
  const { roll, nip } = state;
  const noted = events.map((event) => ({ what: event.kind, atMs: now.atMs, diameterM: 2 * roll.radiusM }));
  const bumpM = events.reduce((sum, event) => sum + (event.kind === 'splice' ? event.thicknessM : 0), 0);
  const bumped =
    nip?.print === undefined || bumpM === 0 ? nip : { ...nip, print: withBump(nip.print, roll.turns, bumpM) };
  return { ...state, nip: bumped, roll: { ...roll, events: [...roll.events, ...noted] } };
}
