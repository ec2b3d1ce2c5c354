import { checkSample, checkSeriesQuery } from './check.js';
import { seriesKey } from './series-key.js';
import type {
  SeriesId,
  SeriesPoint,
  SeriesPoints,
  SeriesQuery,
  SeriesSample,
  SeriesStore,
} from './series-store.js';
import { thin } from './thin.js';

/** A series store that keeps everything in memory until it is dropped: for replays and tests, not for a plant. */
export function createMemorySeriesStore(): SeriesStore {
  const all = new Map<string, SeriesPoint[]>();
  const pointsOf = (id: SeriesId): SeriesPoint[] => all.get(seriesKey(id)) ?? [];
  return {
    write: (samples: readonly SeriesSample[]): void => {
      samples.forEach(checkSample);
      for (const sample of samples) {
        const points = pointsOf(sample);
        all.set(seriesKey(sample), points);
        place(points, [sample.atMs, sample.value]);
      }
    },
    query: (query: SeriesQuery): SeriesPoints => {
      checkSeriesQuery(query);
      const points = pointsOf(query.id);
      return thin(
        points.slice(firstAtOrAfter(points, query.fromMs), firstAtOrAfter(points, query.toMs)),
        query.maxPoints,
      );
    },
    latest: (id: SeriesId): SeriesPoint | null => pointsOf(id).at(-1) ?? null,
  };
}

function place(points: SeriesPoint[], point: SeriesPoint): void {
  const index = firstAtOrAfter(points, point[0]);
  const replaces = points[index]?.[0] === point[0] ? 1 : 0;
  points.splice(index, replaces, point);
}

/** Index of the first point whose time is not before `atMs`. */
function firstAtOrAfter(points: readonly SeriesPoint[], atMs: number): number {
  let low = 0;
  let high = points.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if ((points[middle]?.[0] ?? Infinity) < atMs) low = middle + 1;
    else high = middle;
  }
  return low;
}
