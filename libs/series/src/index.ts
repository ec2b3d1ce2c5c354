/** Raw and derived values as time series: the store interface, an in-memory store, down-sampling and the contract every store passes. */
export * from './series-store.js';
