import type { Store } from '@edge-margin/store-sqlite';
import { createReplica, type InfluxServer, type Replica, type TagsOf } from '@edge-margin/store-influx';
import type { InfluxAccount, InfluxSettings } from '../settings/influx-settings.js';
import { createRemoteMemory, type RemoteMemory } from './remote-memory.js';

/** The copy in InfluxDB: what writes it, and what reads from it. */
export interface LongMemory {
  readonly replica: Replica | undefined;
  readonly remote: RemoteMemory | undefined;
}

/** Whoever looks at a trend waits no longer than this for what is not kept here, ms. */
const deadlineMs = 3000;
const replicaName = 'influx';

/** Nothing is kept for a replica that is no longer wanted. */
export function openLongMemory(
  settings: InfluxSettings | undefined,
  store: Pick<Store, 'replica' | 'rollUps'>,
  tagsOf: TagsOf,
  now: () => number,
): LongMemory {
  if (settings === undefined) {
    store.replica.removeReplica(replicaName);
    store.rollUps.replica.removeReplica(replicaName);
    return { replica: undefined, remote: undefined };
  }
  const replica = createReplica({
    ...serverOf(settings, settings.writer),
    store: store.replica,
    rollUps: store.rollUps.replica,
    name: replicaName,
    catchUpRowsPerS: settings.catchUpRowsPerS,
    rollUpsKeptMs: settings.rollUpsMs,
    tagsOf,
  });
  const remote = createRemoteMemory({ server: serverOf(settings, settings.reader), deadlineMs, now });
  return { replica, remote };
}

function serverOf({ url, database, retentionPolicy }: InfluxSettings, account: InfluxAccount): InfluxServer {
  return { url, database, ...account, ...(retentionPolicy === undefined ? {} : { retentionPolicy }) };
}
