import {
  bucketWidthMs,
  checkSample,
  checkSeriesQuery,
  type Extremes,
  type SeriesId,
  type SeriesPoint,
  type SeriesPoints,
  type SeriesQuery,
  type SeriesSample,
  thin,
  thinnedShape,
} from '@edge-margin/series';
import type { Connection } from './connection.js';
import type { RecentPoints } from './recent-points.js';
import type { ReplicaLog } from './replica-log.js';
import { createSampleWriter } from './sample-writer.js';
import type { NumberedSeries } from './series-by-id.js';
import type { SeriesNumbers } from './series-numbers.js';

/** The series of the local store: a series store (see the contract in libs/series) whose answers come at once. */
export interface SampleTable {
  /** Writes in one transaction, its own or the one under way. */
  readonly write: (samples: readonly SeriesSample[]) => void;
  readonly query: (query: SeriesQuery) => SeriesPoints;
  readonly latest: (id: SeriesId) => SeriesPoint | null;
}

/** The sample table on the open connection; what is written goes to the replica log too where a replica wants it. */
export function createSampleTable(
  connection: Connection,
  series: SeriesNumbers,
  log: ReplicaLog,
  recent: RecentPoints,
): SampleTable {
  const newest = connection
    .prepare('SELECT at_ms, value FROM sample WHERE series_id = ? ORDER BY at_ms DESC LIMIT 1')
    .raw();
  const reader = createRangeReader(connection);
  const writer = createSampleWriter(connection, recent);
  const writeAll = (samples: readonly SeriesSample[]): void => {
    const append = log.appender();
    const bySeries = new Map<number, SeriesSample[]>();
    for (const sample of samples) {
      checkSample(sample);
      const { number } = series.ofSample(sample);
      append?.(number, sample.atMs, sample.value);
      const own = bySeries.get(number);
      if (own === undefined) bySeries.set(number, [sample]);
      else own.push(sample);
    }
    writer(bySeries);
  };
  return {
    write: (samples) => connection.transaction(() => writeAll(samples)),
    query: (query) => {
      checkSeriesQuery(query);
      const found = series.find(query.id);
      return found === undefined
        ? { points: [], thinned: false }
        : connection.guard(() => reader(found, query));
    },
    latest: (id) => {
      const found = series.find(id);
      if (found === undefined) return null;
      return connection.guard(() => (newest.get(found.number) as SeriesPoint | undefined) ?? null);
    },
  };
}

type RangeReader = (series: NumberedSeries, query: SeriesQuery) => SeriesPoints;

const inRange = 'FROM sample WHERE series_id = ? AND at_ms >= ? AND at_ms < ?';

/**
 * Reads a range, thinned as `thin` does it. Extremes are found inside SQLite, interval by interval, so that no row that is left out
 * has to be handed over (24 h at 10 Hz: 0.1 s instead of 0.6 s).
 */
function createRangeReader(connection: Connection): RangeReader {
  const count = connection.prepare(`SELECT count(*) FROM (SELECT 1 ${inRange} LIMIT ?)`).pluck();
  const points = connection.prepare(`SELECT at_ms, value ${inRange} ORDER BY at_ms`).raw();
  const last = connection.prepare(`SELECT at_ms, value ${inRange} ORDER BY at_ms DESC LIMIT 1`).raw();
  const first = connection.prepare(`SELECT at_ms, value ${inRange} ORDER BY at_ms LIMIT 1`).raw();
  const ends = connection.prepare(`SELECT min(value), max(value) ${inRange}`).raw();
  const earliest = connection.prepare(`SELECT at_ms ${inRange} AND value = ? ORDER BY at_ms LIMIT 1`).pluck();

  const extremesWithin = (number: number, fromMs: number, toMs: number): Extremes | undefined => {
    const [low, high] = ends.get(number, fromMs, toMs) as [number | null, number | null];
    if (low === null || high === null) return undefined;
    const timeOf = (value: number): number => earliest.get(number, fromMs, toMs, value) as number;
    return { low: [timeOf(low), low], high: [timeOf(high), high] };
  };
  const thinnedNumbers = (number: number, { fromMs, toMs, maxPoints }: SeriesQuery): SeriesPoints => {
    const [from, to] = [
      first.get(number, fromMs, toMs) as SeriesPoint,
      last.get(number, fromMs, toMs) as SeriesPoint,
    ];
    const widthMs = bucketWidthMs(from[0], to[0], maxPoints);
    const extremes: Extremes[] = [];
    for (let startMs = Math.floor(from[0] / widthMs) * widthMs; startMs <= to[0]; startMs += widthMs) {
      const found = extremesWithin(number, Math.max(startMs, fromMs), Math.min(startMs + widthMs, toMs));
      if (found !== undefined) extremes.push(found);
    }
    return thinnedShape(from, extremes, to);
  };
  return ({ number, hasText }, query) => {
    const { fromMs, toMs, maxPoints } = query;
    const few = (count.get(number, fromMs, toMs, maxPoints + 1) as number) <= maxPoints;
    if (!few && !hasText) return thinnedNumbers(number, query);
    return thin(points.all(number, fromMs, toMs) as SeriesPoint[], maxPoints);
  };
}
