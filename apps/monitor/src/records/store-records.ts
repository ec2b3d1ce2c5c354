import type { Store } from '@edge-margin/store-sqlite';
import type { Records } from '../http/records.js';
import type { RemoteMemory } from './remote-memory.js';
import { createTrendReader } from './trend-reader.js';

/** The store, and the long memory beyond it, as the HTTP side reads them. */
export function storeRecords(
  store: Pick<Store, 'series' | 'rollUps' | 'alarms' | 'notUsed' | 'gaps'>,
  remote: RemoteMemory | undefined,
): Records {
  return {
    trend: createTrendReader(store, remote),
    gaps: store.gaps.query,
    alarmTransitions: store.alarms.transitions,
    readingsNotUsed: store.notUsed.summary,
  };
}
