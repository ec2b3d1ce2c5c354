/**
 * InfluxDB 1.x as replica and long memory of the local series.
 *
 * `createReplica` follows a row cursor of the local store and writes every row, in batches, until InfluxDB has confirmed it; outages, restarts
 * and late data leave no hole, because the cursor moves only after a 204. `createInfluxSeriesStore` reads (and writes) the same database as
 * a series store and passes the contract in libs/series.
 *
 * Layout in InfluxDB: measurements `reading` and `assessment`; tags `area, end, line, site, station, winder`; one field per series field,
 * numbers always as floats, text as strings; time in ms of the source. The same series and time written twice is one point.
 *
 * Validity: InfluxDB 1.6 to 1.8 and servers that speak its `/write` and `/query`. Refused for good, with a reason: numbers that are not finite,
 * text over 64 000 bytes, ids with line breaks or a backslash at the end, fields named like a tag, what the server itself will never take.
 * Sources: InfluxDB 1.x documentation, "Line protocol", "InfluxDB HTTP API", "InfluxQL functions"; answers of a running InfluxDB 1.6.7
 * (tests/services/series-influx.test.ts runs against a real one).
 */
export { type Clock, systemClock } from './clock.js';
export { InfluxError, type InfluxErrorCode } from './influx-error.js';
export { createInfluxSeriesStore, type InfluxStoreOptions } from './influx-series-store.js';
export { createReplica, type Replica, type ReplicaOptions, type ReplicaStatus } from './replica.js';
export type { InfluxServer } from './influx-server.js';
export type { PlantTags, TagsOf } from './line-protocol.js';
