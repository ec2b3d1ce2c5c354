/**
 * Raw readings and derived values as time series: what a store of them can do, one store in memory, and the contract that every store passes.
 *
 * In: samples `{ measurement, winderId, stationId, end, field, atMs, value }`, instants in whole epoch milliseconds, numbers in SI.
 * Out: the points of one series within `[fromMs, toMs)` in order of time, thinned where there are more than asked for.
 *
 * Writing is idempotent: the same series and time written again replaces the value, so that a message delivered twice or a backlog
 * written again after a crash changes nothing. Thinning keeps points that were measured (it never averages): the first, the last and the
 * lowest and highest of each interval, so that no peak disappears on a long trend.
 *
 * Roll-ups: windows of 10 s, 1 min and 1 h keep lowest, highest, mean, last and count of the points in them. `rollUpPoints` makes them of points,
 * `rollUpWindows` longer ones of shorter ones, `trendOfWindows` a trend of them; `chooseResolution` says which of them a range needs.
 *
 * Validity: finite numbers and text; instants within +-2^53 ms. A series carries either numbers or text; a store may refuse the other kind.
 * Sources: the interval rule of thinning is that of Jugel et al., "M4: a visualization-oriented time series data aggregation",
 * Proc. VLDB 7 (2014) 797-808, with the first and last point of the whole range instead of those of each interval.
 */
export type {
  Awaitable,
  SeriesId,
  SeriesPoint,
  SeriesPoints,
  SeriesQuery,
  SeriesSample,
  SeriesStore,
} from './series-store.js';
export type { RefusedRow, ReplicaRow, ReplicaSource } from './replica-source.js';
export { seriesKey } from './series-key.js';
export { checkSample, checkSeriesQuery } from './check.js';
export { type Extremes, bucketWidthMs, leastMaxPoints, thin, thinnedShape } from './thin.js';
export { createMemorySeriesStore } from './memory-series-store.js';
export { type StoreUnderTest, type TestTools, seriesStoreContract } from './series-store-contract.js';
export {
  type Resolution,
  type RolledResolution,
  rolledResolutions,
  windowStartMs,
  windowWidthMs,
} from './resolution.js';
export {
  mergeSummaries,
  type NumberSummary,
  rollUpPoints,
  rollUpWindows,
  type WindowSummary,
} from './window-summary.js';
export { chooseResolution, standInsFor } from './choose-resolution.js';
export { type BandPoint, type Trend, trendOfWindows, type WindowedTrend } from './trend.js';
export type { RollUpRow, RollUpSource } from './roll-up-source.js';
