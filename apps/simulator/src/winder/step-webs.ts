import type { Line } from '../scenario/scenario-schema.js';
import type { Moment } from './station-model.js';
import type { PreparedStation } from './step-station.js';
import { lineDemand } from './step-roll.js';
import { advanceWeb, type WebDemand, type WebPeriod, type WebState } from './web.js';

/** One sample period of the webs of all winders that have a line; the stations of a winder share its speed. */
export function stepWebs(
  stations: readonly PreparedStation[],
  webs: Readonly<Record<string, WebState>>,
  now: Moment,
): Readonly<Record<string, { readonly state: WebState; readonly period: WebPeriod }>> {
  return Object.fromEntries(
    Object.entries(webs).map(([winder, web]) => {
      const own = stations.filter(({ model }) => model.winder === winder);
      const { line, scenario } = (own[0] as PreparedStation).model;
      return [winder, advanceWeb(line as Line, web, demandOf(own), now, scenario.samplePeriodS)];
    }),
  );
}

/** The first roll that is full ends the set; the slowest wish holds. */
function demandOf(stations: readonly PreparedStation[]): WebDemand {
  const demands = stations.map(({ model, state }) => lineDemand(model, state));
  return {
    remainingM: Math.min(...demands.map(({ remainingM }) => remainingM)),
    speedRatio: Math.min(...demands.map(({ speedRatio }) => speedRatio)),
    diameterM: Math.max(...stations.map(({ state }) => 2 * state.roll.radiusM)),
    caliperM: stations[0]?.model.grade.caliperM ?? 1e-4,
    isBetweenSets: stations.every(({ state }) => state.roll.isFinished),
  };
}
