import type { NipSummary } from '../winder/nip-summary.js';
import { printDepthM } from '../winder/print.js';
import type { StripRoll } from '../winder/roll-state.js';
import type { Acting } from '../winder/set-points.js';
import { freeWraps, isHeld } from '../winder/stack.js';
import type { Moment, StationModel } from '../winder/station-model.js';
import { NOTHING_WORSE, type StationState } from '../winder/station-state.js';
import { stackLoad } from '../winder/wind.js';
import type { WebPeriod } from '../winder/web.js';
import type { WoundFilm } from '../winder/wound-film.js';
import { byEnd, rounded } from './roll-truth.js';
import type { StateTruth } from './truth-record.js';

export interface StateMoment {
  readonly now: Moment;
  readonly acting: Acting;
  readonly summary: NipSummary;
  readonly film: WoundFilm | null;
  readonly web: WebPeriod | null;
}

/** Every `truth.everyS` a record of the true state; the worst of the nip is counted afresh from there. */
export function stateTruth(
  model: StationModel,
  state: StationState,
  moment: StateMoment,
): { readonly state: StationState; readonly truth: StateTruth | null } {
  const { everyS } = model.scenario.truth;
  const endS = moment.now.atS + model.scenario.samplePeriodS;
  if (Math.floor(endS / everyS + 1e-9) === Math.floor(moment.now.atS / everyS + 1e-9))
    return { state, truth: null };
  return { state: { ...state, worst: NOTHING_WORSE }, truth: recordOf(model, state, moment) };
}

function recordOf(model: StationModel, state: StationState, moment: StateMoment): StateTruth {
  const { now, acting, summary, film } = moment;
  const unwind = moment.web?.unwind ?? null;
  const { roll } = state;
  const half = model.station.widthM / 2;
  const strips = model.strips.map((plan, i) => {
    const strip = roll.strips[i] as StripRoll;
    return { stack: strip.stack, load: stackLoad(model, acting, strip.radiusM, plan.widthM) };
  });
  const tops = strips.map(({ stack }) => stack[stack.length - 1]);
  return {
    kind: 'state',
    atMs: now.atMs + Math.round(model.scenario.samplePeriodS * 1000),
    winder: model.winder,
    station: model.station.id,
    roll: roll.number,
    phase: state.line.phase,
    diameterM: rounded(2 * roll.radiusM),
    turns: rounded(roll.turns),
    lengthM: rounded(roll.lengthM),
    speedMPerS: rounded(state.speedMPerS),
    tensionNPerM: rounded(acting.tensionNPerM),
    nipLoadNPerM: byEnd([summary.meanN[0] / half, summary.meanN[1] / half]),
    filmM: rounded(tops[0]?.gapM ?? 0),
    filmWithoutNipM: rounded(film?.withoutNipM ?? 0),
    filmWithNipM: rounded(film?.withNipM ?? 0),
    held: strips.every(({ load }, i) => tops[i] === undefined || isHeld(tops[i], load)),
    freeWraps: Math.max(...strips.map(({ stack, load }) => freeWraps(stack, load))),
    contactLostRatio: byEnd(state.worst.lostRatio),
    inertiaRatio: byEnd(state.worst.inertiaRatio),
    swingRatio: byEnd(state.worst.swingRatio),
    ...(unwind === null ? {} : { unwindDiameterM: rounded(unwind.diameterM) }),
    ...(state.nip?.print === undefined ? {} : { polygonM: byEnd(printDepthM(state.nip.print)) }),
  };
}
