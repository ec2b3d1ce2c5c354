import type { Journal } from '@edge-margin/journal';
import type { Store } from '@edge-margin/store-sqlite';
import type { Logger } from 'pino';

/** How long and how much is kept on this machine. */
export interface Keeping {
  readonly rawSeriesMs: number;
  readonly seriesMaxBytes: number;
  readonly journalMs: number;
  readonly sentMessagesMs: number;
  readonly replicaMaxRows: number;
  readonly replicaMs: number;
}

export const defaultKeeping: Keeping = {
  rawSeriesMs: 48 * 3_600_000,
  seriesMaxBytes: 20e9,
  journalMs: 48 * 3_600_000,
  sentMessagesMs: 7 * 86_400_000,
  replicaMaxRows: 50_000_000,
  replicaMs: 48 * 3_600_000,
};

const workRows = 5000;

/** One bounded round of letting go of what is older than it needs to be. What is not done in this round is done in the next ones. */
export async function keepHouse(parts: {
  readonly store: Store;
  readonly journal: Journal;
  readonly keeping: Keeping;
  readonly now: number;
  readonly log: Logger;
}): Promise<void> {
  const { store, journal, keeping, now, log } = parts;
  const dropped = store.retention.dropSamplesBefore(now - keeping.rawSeriesMs, workRows);
  const beyond = store.retention.dropSamplesBeyond(keeping.seriesMaxBytes, workRows);
  if (beyond.rows > 0)
    log.warn(
      { rows: beyond.rows, maxBytes: keeping.seriesMaxBytes },
      'samples were dropped before their time: the series are at their size limit',
    );
  store.replica.trim({ maxRows: keeping.replicaMaxRows, beforeMs: now - keeping.replicaMs }, workRows);
  store.outbox.forgetSent(now - keeping.sentMessagesMs, workRows);
  store.retention.releaseSpace(500);
  const segments = await journal.disposeBefore(store.durablePosition(), now - keeping.journalMs);
  if (dropped.rows + segments > 0)
    log.debug({ samples: dropped.rows, segments }, 'let go of what is older than it needs to be');
}
