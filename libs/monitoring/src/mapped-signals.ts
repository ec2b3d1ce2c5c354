import type { End, PlantFile, SignalMapping, SignalName, Source, StationContext } from '@edge-margin/plant';
import { signalKey } from './cell.js';

/** A signal that the plant file maps for a station. */
export interface MappedSignal {
  readonly key: string;
  readonly signal: SignalName;
  readonly end: End;
  /** Undefined: reported by exception, so silence means nothing. */
  readonly expectedPeriodS: number | undefined;
}

/** The signals that can come for a station, by key. A topic that captures the winder or station counts for all of them. */
export function mappedSignals(plant: PlantFile, context: StationContext): ReadonlyMap<string, MappedSignal> {
  const mapped = new Map<string, MappedSignal>();
  for (const source of plant.sources) {
    for (const mapping of source.signals) {
      if (!concerns(source, mapping, context)) continue;
      for (const end of endsOf(source, mapping)) {
        const key = signalKey(mapping.signal, end);
        mapped.set(key, { key, signal: mapping.signal, end, expectedPeriodS: mapping.expectedPeriodS });
      }
    }
  }
  return mapped;
}

function concerns(source: Source, mapping: SignalMapping, context: StationContext): boolean {
  const winder = mapping.winder ?? source.winder;
  const station = mapping.station ?? source.station;
  const winderFits = winder === undefined ? source.topic.includes('{winder}') : winder === context.winder.id;
  const stationFits =
    station === undefined
      ? source.topic.includes('{station}') || context.winder.stations.length === 1
      : station === context.station.id;
  return winderFits && stationFits;
}

function endsOf(source: Source, mapping: SignalMapping): readonly End[] {
  return source.topic.includes('{end}') ? ['tending', 'drive'] : [mapping.end];
}
