/**
 * InfluxDB 1.x as replica and long memory of the local series.
 *
 * `createReplica` follows a row cursor of the local store and writes every row, in batches, until InfluxDB has confirmed it; outages, restarts
 * and late data leave no hole, because the cursor moves only after a 204. `createInfluxSeriesStore` reads (and writes) the same database as
 * a series store and passes the contract in libs/series.
 *
 * `createInfluxRollUpReader` reads the roll-ups that the replica writes beside the rows.
 *
 * Layout in InfluxDB: measurements `reading` and `assessment`; tags `area, end, line, site, station, winder`; one field per series field,
 * numbers always as floats, text as strings; time in ms of the source. The same series and time written twice is one point.
 *
 * Roll-ups: measurements `reading_10s`, `assessment_1h`, ... under the retention policies `rollup_10s`, `rollup_1min`, `rollup_1h`; time is the
 * start of the window; per series the fields `speed_min`, `_max`, `_mean`, `_last`, `_count`, and `_min_at`, `_max_at`, `_last_at` in ms after it.
 *
 * Validity: InfluxDB 1.6 to 1.8, the 1.x-compatible `/write` and `/query` of 2.x (by token; see `write-outcome.ts` for what was tried), and
 * servers that speak the same. Refused for good, with a reason: numbers that are not finite,
 * text over 64 000 bytes, ids with line breaks or a backslash at the end, fields named like a tag, what the server itself will never take.
 * Sources: InfluxDB 1.x documentation, "Line protocol", "InfluxDB HTTP API", "InfluxQL functions"; answers of a running InfluxDB 1.6.7
 * (tests/services/series-influx.test.ts runs against a real one).
 */
export { type Clock, systemClock } from './clock.js';
export { InfluxError, type InfluxErrorCode } from './influx-error.js';
export { createInfluxSeriesStore, type InfluxStoreOptions } from './influx-series-store.js';
export { createInfluxRollUpReader, type InfluxRollUpReader } from './influx-roll-up-reader.js';
export { createReplica, type Replica, type ReplicaOptions } from './replica.js';
export type { ReplicaStatus, ReplicaTrouble } from './replica-status.js';
export type { InfluxServer } from './influx-server.js';
export type { PlantTags, TagsOf } from './line-protocol.js';
