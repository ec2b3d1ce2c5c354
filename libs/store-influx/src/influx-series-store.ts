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
import { createInfluxQuery, type InfluxQuery } from './influx-query.js';
import { InfluxError } from './influx-error.js';
import type { InfluxServer } from './influx-server.js';
import { createLineEncoder, type TagsOf } from './line-protocol.js';
import { createLineWriter } from './write-lines.js';

export interface InfluxStoreOptions extends InfluxServer {
  readonly tagsOf: TagsOf;
}

/** A series store (see the contract in libs/series) across the network. */
export interface InfluxSeriesStore {
  readonly write: (samples: readonly SeriesSample[]) => Promise<void>;
  readonly query: (query: SeriesQuery) => Promise<SeriesPoints>;
  readonly latest: (id: SeriesId) => Promise<SeriesPoint | null>;
}

/** Points fetched in one answer where a series of text must be read whole. */
const pageRows = 10_000;

/**
 * The series in InfluxDB. Thinning is left to the server as far as it goes (`top` and `bottom` keep the time of the point that they choose,
 * unlike `max` and `min`), so that the answer stays small whatever the range.
 * @throws RangeError for an address or a database name that cannot be one. The functions reject with an InfluxError.
 */
export function createInfluxSeriesStore(options: InfluxStoreOptions): InfluxSeriesStore {
  const encode = createLineEncoder(options.tagsOf);
  const writeLines = createLineWriter(options);
  const select = createInfluxQuery(options);
  return {
    write: async (samples) => {
      samples.forEach(checkSample);
      const { body, refused } = encode(samples);
      const because = refused[0]?.because;
      if (because !== undefined) throw new InfluxError('refused', because.text);
      const outcome = await writeLines(body, new AbortController().signal);
      if (outcome.kind === 'written') return;
      const code =
        outcome.kind === 'retry'
          ? 'unreachable'
          : outcome.kind === 'misconfigured'
            ? 'misconfigured'
            : 'refused';
      throw new InfluxError(code, outcome.because.text);
    },
    query: async (query) => {
      checkSeriesQuery(query);
      return readRange(select, query);
    },
    latest: async (id) => (await select(id, (field) => ({ select: `last(${field})` })))[0] ?? null,
  };
}

async function readRange(select: InfluxQuery, query: SeriesQuery): Promise<SeriesPoints> {
  const { id, maxPoints, ...range } = query;
  if (range.toMs <= range.fromMs) return { points: [], thinned: false };
  const points = await select(id, (field) => ({ select: field, ...range, limit: maxPoints + 1 }));
  const first = points[0];
  if (points.length <= maxPoints || first === undefined) return { points, thinned: false };
  if (typeof first[1] === 'string') return thin(await readAll(select, query), maxPoints);
  const last = (await select(id, (field) => ({ select: `last(${field})`, ...range })))[0] ?? first;
  const widthMs = bucketWidthMs(first[0], last[0], maxPoints);
  const extremes = await Promise.all(
    ['bottom', 'top'].map((choose) =>
      select(id, (field) => ({ select: `${choose}(${field}, 1)`, ...range, everyMs: widthMs })),
    ),
  );
  return thinnedShape(first, inOrder(extremes.flat()), last);
}

function inOrder(points: readonly SeriesPoint[]): readonly Extremes[] {
  const byTime = new Map(points.map((point) => [point[0], point]));
  return [...byTime.values()].sort((a, b) => a[0] - b[0]).map((point) => ({ low: point, high: point }));
}

async function readAll(
  select: InfluxQuery,
  { id, fromMs, toMs }: SeriesQuery,
): Promise<readonly SeriesPoint[]> {
  const all: SeriesPoint[] = [];
  for (;;) {
    const last = all.at(-1);
    const page = await select(id, (field) => ({
      select: field,
      fromMs: last === undefined ? fromMs : last[0] + 1,
      toMs,
      limit: pageRows,
    }));
    all.push(...page);
    if (page.length < pageRows) return all;
  }
}
