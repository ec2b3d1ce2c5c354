import type { SeriesId } from '@edge-margin/series';

/** A series as the sample table knows it. */
export interface NumberedSeries {
  readonly number: number;
  readonly id: SeriesId;
  /** It has held text at some time: its extremes cannot be left to SQL. */
  readonly hasText: boolean;
}

/** Numbered series by what they are called. */
export interface SeriesById {
  readonly get: (id: SeriesId) => NumberedSeries | undefined;
  /** In the place of the one with the same id. */
  readonly set: (series: NumberedSeries) => void;
  readonly clear: () => void;
}

/** Looks level by level, which every sample does: one text made of an id for each costs several times as much. */
export function createSeriesById(): SeriesById {
  const byField = new Map<string, Map<string, Map<string, NumberedSeries[]>>>();
  return {
    get: (id) => {
      const alike = byField.get(id.field)?.get(id.winderId)?.get(id.stationId);
      if (alike === undefined) return undefined;
      for (const series of alike)
        if (series.id.measurement === id.measurement && series.id.end === id.end) return series;
      return undefined;
    },
    set: (series) => {
      const { measurement, winderId, stationId, end, field } = series.id;
      const byWinder = entryOf(byField, field, () => new Map<string, Map<string, NumberedSeries[]>>());
      const byStation = entryOf(byWinder, winderId, () => new Map<string, NumberedSeries[]>());
      const alike = entryOf(byStation, stationId, () => []);
      const place = alike.findIndex(({ id }) => id.measurement === measurement && id.end === end);
      if (place === -1) alike.push(series);
      else alike[place] = series;
    },
    clear: () => byField.clear(),
  };
}

function entryOf<Key, Value>(map: Map<Key, Value>, key: Key, make: () => Value): Value {
  const found = map.get(key);
  if (found !== undefined) return found;
  const made = make();
  map.set(key, made);
  return made;
}
