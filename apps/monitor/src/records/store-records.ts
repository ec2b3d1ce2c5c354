import type { Store } from '@edge-margin/store-sqlite';
import type { Records } from '../http/records.js';

/** The store as the HTTP side reads it. */
export function storeRecords(store: Pick<Store, 'series' | 'alarms' | 'notUsed'>): Records {
  return {
    query: store.series.query,
    alarmTransitions: store.alarms.transitions,
    readingsNotUsed: store.notUsed.summary,
  };
}
