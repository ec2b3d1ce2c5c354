import type { Journal } from '@edge-margin/journal';
import type { RolledResolution } from '@edge-margin/series';
import type { Store } from '@edge-margin/store-sqlite';
import { setImmediate as nextTurn } from 'node:timers/promises';
import type { Logger } from 'pino';

/** How long and how much is kept on this machine. */
export interface Keeping {
  readonly rawSeriesMs: number;
  readonly seriesMaxBytes: number;
  readonly rollUpsMs: Readonly<Record<RolledResolution, number>>;
  readonly journalMs: number;
  readonly sentMessagesMs: number;
  readonly replicaMaxRows: number;
  readonly replicaMs: number;
  readonly replicaMaxRollUps: number;
}

const dayMs = 86_400_000;

export const defaultKeeping: Keeping = {
  rawSeriesMs: 2 * dayMs,
  seriesMaxBytes: 20e9,
  rollUpsMs: { '10s': 7 * dayMs, '1min': 60 * dayMs, '1h': 3 * 365 * dayMs },
  journalMs: 2 * dayMs,
  sentMessagesMs: 7 * dayMs,
  replicaMaxRows: 50_000_000,
  replicaMs: 2 * dayMs,
  replicaMaxRollUps: 10_000_000,
};

/** Rows let go of without letting anything else run: about a millisecond. */
const rowsInOneGo = 1000;

export interface HouseParts {
  readonly store: Store;
  readonly journal: Journal;
  readonly keeping: Keeping;
  readonly now: number;
  readonly log: Logger;
  /** How long one round may go on, ms; 10 000 where left out. */
  readonly workMs?: number;
}

/** One round of letting go of what is older than it needs to be, in pieces between which messages are handled. */
export async function keepHouse(parts: HouseParts): Promise<void> {
  const { store, journal, keeping, now, log } = parts;
  const { retention, rollUps, replica } = store;
  const endsAtMs = performance.now() + (parts.workMs ?? 10_000);
  const all = (piece: () => { readonly rows: number; readonly done: boolean }) => inPieces(piece, endsAtMs);

  const dropped = await all(() => retention.dropSamplesBefore(now - keeping.rawSeriesMs, rowsInOneGo));
  const beyond = await all(() => retention.dropSamplesBeyond(keeping.seriesMaxBytes, rowsInOneGo));
  if (beyond > 0)
    log.warn(
      { rows: beyond, maxBytes: keeping.seriesMaxBytes },
      'samples were dropped before their time: the series are at their size limit',
    );
  for (const [resolution, keptMs] of Object.entries(keeping.rollUpsMs) as [RolledResolution, number][])
    await all(() => rollUps.dropBefore(resolution, now - keptMs, rowsInOneGo));
  const limits = { maxRows: keeping.replicaMaxRows, beforeMs: now - keeping.replicaMs };
  const letGo = (rows: number) => ({ rows, done: rows < rowsInOneGo });
  const missed = await all(() => letGo(replica.trim(limits, rowsInOneGo)));
  const missedRollUps = await all(() => letGo(rollUps.replica.trim(keeping.replicaMaxRollUps, rowsInOneGo)));
  if (missed + missedRollUps > 0)
    log.warn(
      { rows: missed, rollUps: missedRollUps },
      'the replica is too far behind: what it lacked longest was let go, and is recorded as a gap',
    );
  store.outbox.forgetSent(now - keeping.sentMessagesMs, rowsInOneGo);
  retention.releaseSpace(500);
  const segments = await journal.disposeBefore(store.durablePosition(), now - keeping.journalMs);
  if (dropped + segments > 0)
    log.debug({ samples: dropped, segments }, 'let go of what is older than it needs to be');
}

async function inPieces(
  piece: () => { readonly rows: number; readonly done: boolean },
  endsAtMs: number,
): Promise<number> {
  let all = 0;
  for (;;) {
    const { rows, done } = piece();
    all += rows;
    if (done || performance.now() > endsAtMs) return all;
    await nextTurn();
  }
}
