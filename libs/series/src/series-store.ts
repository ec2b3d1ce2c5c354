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
