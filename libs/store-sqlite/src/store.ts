import type { AlarmRecords } from './alarm-records.js';
import type { DoorRecords } from './door-records.js';
import type { GapRecords } from './gap-records.js';
import type { NotUsedRecords } from './not-used-records.js';
import type { Outbox } from './outbox.js';
import type { ReplicaLog } from './replica-log.js';
import type { Retention } from './retention.js';
import type { RollRecords } from './roll-records.js';
import type { RollUps } from './roll-ups.js';
import type { SampleTable } from './sample-table.js';
import type { CommitOutcome, StoreBatch } from './store-batch.js';

/** The local store. Hand on the part that is needed, not the whole. */
export interface Store {
  /**
   * Commits the batch, all of it or nothing, in one transaction. A batch at or before the stored position is ignored.
   * @throws StoreError; RangeError for a sample that cannot be kept or a position that is none.
   */
  readonly commitBatch: (batch: StoreBatch) => CommitOutcome;
  /** Journal position of the last batch; 0 before the first. */
  readonly readPosition: () => number;
  /** Position that even a power cut cannot take back: writes the log through to the disk first. Rows up to it may leave the journal. */
  readonly durablePosition: () => number;
  readonly readDecoderState: () => string | null;
  /** JSON by station key. */
  readonly readStates: () => ReadonlyMap<string, string>;
  readonly series: SampleTable;
  readonly alarms: AlarmRecords;
  readonly rolls: RollRecords;
  readonly notUsed: NotUsedRecords;
  readonly outbox: Outbox;
  readonly gaps: GapRecords;
  readonly replica: ReplicaLog;
  readonly rollUps: RollUps;
  readonly retention: Retention;
  readonly door: DoorRecords;
  readonly close: () => void;
}
