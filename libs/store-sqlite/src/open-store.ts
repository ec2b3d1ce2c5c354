import { createAlarmRecords } from './alarm-records.js';
import { type ConnectionOptions, openConnection } from './connection.js';
import { createDoorRecords } from './door-records.js';
import { createGapRecords } from './gap-records.js';
import { createNotUsedRecords } from './not-used-records.js';
import { createOutbox } from './outbox.js';
import { createProgress } from './progress.js';
import { createRecentPoints } from './recent-points.js';
import { createReplicaLog } from './replica-log.js';
import { createRetention } from './retention.js';
import { createRollRecords } from './roll-records.js';
import { createRollUps } from './roll-ups.js';
import { createSampleTable } from './sample-table.js';
import { createSeriesNumbers } from './series-numbers.js';
import type { Store } from './store.js';
import type { CommitOutcome, StoreBatch } from './store-batch.js';

export type OpenOptions = ConnectionOptions;

/**
 * Opens the store, makes the file if there is none and brings an older one to the newest version.
 * @param path The file, `store.sqlite` in the data directory.
 * @throws StoreError
 */
export function openStore(path: string, options: OpenOptions = {}): Store {
  const connection = openConnection(path, options);
  const numbers = createSeriesNumbers(connection);
  const gaps = createGapRecords(connection);
  const recent = createRecentPoints(connection);
  const { rollUps, ...rollUpParts } = createRollUps(connection, numbers, gaps, recent);
  const replica = createReplicaLog(connection, numbers, gaps, rollUpParts.due);
  const progress = createProgress(connection);
  const parts = {
    series: createSampleTable(connection, numbers, replica, recent),
    alarms: createAlarmRecords(connection),
    rolls: createRollRecords(connection),
    notUsed: createNotUsedRecords(connection),
    outbox: createOutbox(connection),
    gaps,
    replica,
    rollUps,
    retention: createRetention(connection, numbers, gaps, rollUpParts),
    door: createDoorRecords(connection),
  };
  const apply = (batch: StoreBatch): CommitOutcome => {
    if (batch.position <= progress.position()) return { applied: false };
    parts.series.write(batch.samples ?? []);
    parts.alarms.record(batch.alarmTransitions ?? []);
    parts.alarms.refresh(batch.alarmViews ?? []);
    parts.rolls.record(batch.rolls ?? []);
    parts.notUsed.add(batch.notUsed ?? []);
    parts.gaps.record(batch.gaps ?? []);
    parts.outbox.add(batch.outbox ?? []);
    progress.advance(batch);
    return { applied: true };
  };
  return {
    ...parts,
    commitBatch: (batch) => {
      if (!Number.isSafeInteger(batch.position) || batch.position < 0) {
        throw new RangeError(`position: a whole number >= 0 is needed, got ${batch.position}`);
      }
      return connection.transaction(() => apply(batch));
    },
    readPosition: progress.position,
    durablePosition: progress.durablePosition,
    readDecoderState: progress.decoderState,
    readStates: progress.states,
    close: connection.close,
  };
}
