import type { Journal, Segment } from '@edge-margin/journal';
import type { RolledResolution } from '@edge-margin/series';
import type { Store } from '@edge-margin/store-sqlite';
import { setImmediate as nextTurn } from 'node:timers/promises';
import type { Logger } from 'pino';
import type { KeepingSettings } from '../settings/keeping-settings.js';

/** Rows let go of without letting anything else run: about a millisecond. */
const rowsInOneGo = 1000;

export interface HouseParts {
  readonly store: Store;
  readonly journal: Journal;
  readonly keeping: KeepingSettings;
  /** What ages are measured from, epoch ms: the time that is known (`known-time.ts`), never a clock that has jumped. */
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
  const limits = { maxRows: keeping.uncopiedMaxRows, beforeMs: now - keeping.uncopiedMs };
  const letGo = (rows: number) => ({ rows, done: rows < rowsInOneGo });
  const missed = await all(() => letGo(replica.trim(limits, rowsInOneGo)));
  const missedRollUps = await all(() => letGo(rollUps.replica.trim(keeping.uncopiedMaxRollUps, rowsInOneGo)));
  if (missed + missedRollUps > 0)
    log.warn(
      { rows: missed, rollUps: missedRollUps },
      'the replica is too far behind: what it lacked longest was let go, and is recorded as a gap',
    );
  store.outbox.forgetSent(now - keeping.sentMessagesMs, rowsInOneGo);
  retention.releaseSpace(500);
  const oldUpTo = oldJournalUpTo(journal.segments(), now - keeping.journalMs, now);
  const segments = await journal.disposeBefore(Math.min(store.durablePosition(), oldUpTo + 1), Infinity);
  if (dropped + segments > 0)
    log.debug({ samples: dropped, segments }, 'let go of what is older than it needs to be');
}

/**
 * The last position that came in before `beforeMs`; 0 where none did. Arrivals that lie ahead of the time are of a clock that was wrong: such a
 * segment is as old as the next one that is not, or it and all behind it would be kept until that time has come.
 */
export function oldJournalUpTo(segments: readonly Segment[], beforeMs: number, nowMs: number): number {
  let nextArrivedAtMs = Infinity;
  for (const { last, firstArrivedAtMs, lastArrivedAtMs } of [...segments].reverse()) {
    const arrivedAtMs = lastArrivedAtMs > nowMs ? nextArrivedAtMs : lastArrivedAtMs;
    if (arrivedAtMs < beforeMs) return last;
    nextArrivedAtMs = firstArrivedAtMs > nowMs ? nextArrivedAtMs : firstArrivedAtMs;
  }
  return 0;
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
