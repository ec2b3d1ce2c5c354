/**
 * Raw readings and derived values as time series. A series is one field of one measurement at one station and end.
 */
export interface SeriesId {
  readonly measurement: 'reading' | 'assessment';
  readonly winderId: string;
  readonly stationId: string;
  readonly end: 'tending' | 'drive' | 'both';
  /** e.g. `speed` (SI unit of the signal) or `marginRatio`: camel case, unit in the name where it is not the signal's own. */
  readonly field: string;
}

/** One sample. The same series and time written again replaces the value: the last one wins. */
export interface SeriesSample extends SeriesId {
  /** Event time, epoch ms, whole. */
  readonly atMs: number;
  readonly value: number | string;
}

/** A value, now or later: a store on this machine answers at once, one across a network later. */
export type Awaitable<T> = T | Promise<T>;

/** Event time (epoch ms) and value. */
export type SeriesPoint = readonly [atMs: number, value: number | string];

export interface SeriesQuery {
  readonly id: SeriesId;
  /** First instant asked for (inclusive), epoch ms, whole. */
  readonly fromMs: number;
  /** End of the range (exclusive), epoch ms, whole. */
  readonly toMs: number;
  /** Most points wanted, whole, at least `leastMaxPoints`. */
  readonly maxPoints: number;
}

export interface SeriesPoints {
  /** In order of time, one per instant, at most `maxPoints`. */
  readonly points: readonly SeriesPoint[];
  /** True where there were more points than `maxPoints` and only those that keep the shape are given. */
  readonly thinned: boolean;
}

/** What every store of series can do; `seriesStoreContract` says how it must behave. */
export interface SeriesStore {
  /** Writes samples, in any order; when it returns (or resolves) a query sees them all. */
  readonly write: (samples: readonly SeriesSample[]) => Awaitable<void>;
  /** The points of one series within `[fromMs, toMs)`; none for a series or a range that the store does not know. */
  readonly query: (query: SeriesQuery) => Awaitable<SeriesPoints>;
  /** The point with the latest event time, `null` where there is none. */
  readonly latest: (id: SeriesId) => Awaitable<SeriesPoint | null>;
}
