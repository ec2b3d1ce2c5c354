import type { Message } from '../instruments/message.js';
import { stateTruth } from '../truth/state-truth.js';
import type { TruthRecord } from '../truth/truth-record.js';
import { advanceLine } from './line.js';
import { OPEN_NIP } from './nip-summary.js';
import { reportStation } from './report-station.js';
import { actingOn } from './set-points.js';
import type { Moment, StationModel } from './station-model.js';
import { DISTURBANCES, type Disturbance, type StationState, wanderings } from './station-state.js';
import { closedRatio, stepNip, worse } from './step-nip.js';
import { lineDemand, operated, stepRoll, stretchOf, withNewCore } from './step-roll.js';
import { advanceWander, type Wander } from './wander.js';

export interface StationStep {
  readonly state: StationState;
  readonly messages: readonly Message[];
  readonly truth: readonly TruthRecord[];
}

/** One sample period of one station: disturbances, operator, line, nip, roll, then what the instruments make of it. */
export function stepStation(model: StationModel, before: StationState, now: Moment): StationStep {
  const { station, scenario } = model;
  const set = operated(model, withNewCore(model, disturbed(model, before), now), now);
  const line = advanceLine(station.programme, set.line, lineDemand(model, set), scenario.samplePeriodS);
  const closed = closedRatio(model, set, line);
  const acting = actingOn(station, set, now.atS, closed);
  const stretch = stretchOf(model, set, line, now);
  const nip = stepNip(model, set, { stretch, acting, closedRatio: closed });
  const summary = nip?.summary ?? OPEN_NIP;
  const moved: StationState = {
    ...set,
    line,
    speedMPerS: stretch.speedMPerS.to,
    webM: stretch.lengthM.to,
    nip: nip?.state ?? set.nip,
    worst: worse(set.worst, summary),
  };
  const wound = stepRoll(model, moved, now, { stretch, acting, nip, radiusM: set.roll.radiusM });
  const recorded = stateTruth(model, wound.state, { now, acting, summary, film: wound.film });
  const reported = reportStation(model, recorded.state, acting, summary, now);
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
