import { resumeStream } from './random/random-stream.js';
import type { SimulationState } from './simulation.js';
import type { StationModel } from './winder/station-model.js';

/** Something that the crew of a station does. */
export interface Reaction {
  readonly winder: string;
  readonly station: string;
  /** New speed over the running speed, 0.02 to 3; of a line's stations the slowest wish holds. */
  readonly speedRatio?: number;
  /** New nip load over the planned load, 0.05 to 5. */
  readonly nipLoadRatio?: number;
}

/** The run with what crews have asked for; each wish is done or not by the readiness of the shift (outside shifts: done). */
export function withReactions(
  models: readonly StationModel[],
  state: SimulationState,
  asked: readonly Reaction[],
): SimulationState {
  const periodS = models[0]?.scenario.samplePeriodS ?? 1;
  const atS = state.periods * periodS;
  const stations = [...state.stations];
  for (const reaction of asked) {
    const i = models.findIndex((m) => m.winder === reaction.winder && m.station.id === reaction.station);
    const station = stations[i];
    if (station === undefined)
      throw new RangeError(`reaction: no station "${reaction.winder}/${reaction.station}"`);
    const shift = models[i]?.station.shifts.find(({ fromS, forS }) => atS >= fromS && atS < fromS + forS);
    const crew = resumeStream(station.crew);
    const isDone = shift === undefined || crew.uniform() < shift.reactRatio;
    const { speedRatio, nipLoadRatio } = station.operator;
    stations[i] = {
      ...station,
      crew: crew.state(),
      operator: isDone
        ? {
            ...station.operator,
            speedRatio: within(reaction.speedRatio ?? speedRatio, 0.02, 3),
            nipLoadRatio: within(reaction.nipLoadRatio ?? nipLoadRatio, 0.05, 5),
          }
        : station.operator,
    };
  }
  return { ...state, stations };
}

function within(value: number, low: number, high: number): number {
  return Math.min(high, Math.max(low, value));
}
