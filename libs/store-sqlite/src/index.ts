/**
 * The local store: one SQLite file, `store.sqlite` in the data directory, that holds the series and the records of the service.
 *
 * In: batches of effects with the journal position that they reach, each committed in one transaction. Out: series by range, the alarm
 * journal and the open alarms, rolls, station states, the outbox, what was not used, gaps, and rows for replicas.
 *
 * A batch at or before the stored position changes nothing, and records carry ids: folding the same journal rows again has no second effect.
 * Write-ahead log with synchronous=NORMAL: a killed process loses nothing; after a power cut the file is consistent and may be a few batches
 * behind, and the journal catches it up. So the journal may let go only of what `durablePosition()` covers.
 *
 * Everything is synchronous and belongs to one process per data directory (`lockDataDir`). Failures of the file are `StoreError`s with a code.
 *
 * Validity: SQLite 3.37 or newer (STRICT tables); local file systems (write-ahead logs and locks are not reliable across a network).
 * Sources: SQLite documentation, "Write-Ahead Logging" (durability of synchronous=NORMAL), "WITHOUT ROWID Tables", "Result and Error Codes".
 */
export { type DataDirLock, DataDirLockedError, lockDataDir } from './data-dir-lock.js';
export { StoreError, type StoreErrorCode } from './store-error.js';
export { backUpDatabase, requireSound } from './back-up-database.js';
export { describeStore, type StoreDescription } from './describe-store.js';
export { type OpenOptions, openStore } from './open-store.js';
export type { Store } from './store.js';
export type { CommitOutcome, StationStateRow, StoreBatch } from './store-batch.js';
export type { AlarmRecords, TransitionQuery } from './alarm-records.js';
export type { RollQuery, RollRecords } from './roll-records.js';
export {
  type NotUsedCount,
  type NotUsedReading,
  type NotUsedRecords,
  countNotUsed,
} from './not-used-records.js';
export type { Outbox, OutboxMessage } from './outbox.js';
export type { GapQuery, GapRecords, GapRow } from './gap-records.js';
export type { ReplicaLog, ReplicaLogLimits } from './replica-log.js';
export type { DoorRecords } from './door-records.js';
export type { PersonRecords, PersonRow } from './person-records.js';
export type { SessionRecords } from './session-records.js';
export type { KeyRecords, KeyRow } from './key-records.js';
export type { AuditRecords, AuditRow } from './audit-records.js';
export type { RollUps } from './roll-ups.js';
export type { RollUpLog } from './roll-up-log.js';
export type { Dropped } from './dropped.js';
export type { Retention } from './retention.js';
