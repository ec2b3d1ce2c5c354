import { setImmediate as nextTurn } from 'node:timers/promises';
import type { RefusedRow, ReplicaRow, ReplicaSource } from '@edge-margin/series';
import type { Clock } from './clock.js';
import type { PreparedRows, RowDelivery } from './deliver-rows.js';
import type { LaneStep } from './lane.js';
import { createRecentRate } from './recent-rate.js';

export interface RowReplication {
  /** One request's worth of work. */
  readonly step: () => Promise<LaneStep>;
  readonly catchingUp: () => boolean;
  readonly rowsPerS: () => number;
  readonly setAsideRows: () => number;
}

export interface RowReplicationParts {
  readonly store: ReplicaSource;
  readonly name: string;
  readonly deliver: RowDelivery<ReplicaRow>;
  readonly batchRows: number;
  readonly idleMs: number;
  readonly catchUpRowsPerS: number;
  readonly clock: Clock;
  readonly signal: AbortSignal;
  /** With nothing to write: asks whether writing would be possible. */
  readonly probe: () => Promise<LaneStep>;
}

/** A backlog of more batches than this is brought up at the set rate; fewer are simply written. */
const backlogBatches = 4;
/** Rows read from, or let go of in, the local store in one go. */
const rowsInOneGo = 500;
const fewestRows = 100;

/**
 * Brings the rows of the log over in order. While a backlog of hours is brought up, the newest rows go first once a second, so that readers
 * of the database see the present; as they have no place in the order yet they are written again when their turn comes, after everything
 * older, and the last value of a series and time stands in the end as if all had come in order.
 */
export function createRowReplication(parts: RowReplicationParts): RowReplication {
  const { store, name, deliver, clock, idleMs, signal } = parts;
  const rate = createRecentRate();
  let batchRows = parts.batchRows;
  let setAside = 0;
  let catchUp: CatchUp | undefined;
  let ahead: Batch | undefined;

  const look = (): CatchUp | undefined => {
    const behind = store.behind(name);
    const newestSeq = store.readCursor(name) + behind;
    if (catchUp === undefined && behind > backlogBatches * batchRows)
      catchUp = { sinceMs: clock.now(), fromSeq: newestSeq, shownSeq: newestSeq, shownAtMs: clock.now() };
    else if (behind <= batchRows) catchUp = undefined;
    return catchUp;
  };
  const noteSize = (tooLarge: boolean): void => {
    if (tooLarge) batchRows = Math.max(fewestRows, Math.ceil(batchRows / 2));
  };
  /** The newest rows, ahead of their turn. */
  const showNewest = async (state: CatchUp): Promise<LaneStep> => {
    const newestSeq = store.readCursor(name) + store.behind(name);
    const rows = await readInPieces(store, Math.max(state.shownSeq, newestSeq - batchRows), batchRows);
    state.shownAtMs = clock.now();
    const delivery = await deliver.send(await deliver.prepare(rows), signal);
    if (delivery.kind !== 'delivered') return delivery;
    state.shownSeq = rows.at(-1)?.seq ?? state.shownSeq;
    rate.add(rows.length, clock.now());
    return { kind: 'done', waitMs: 0 };
  };
  const take = (afterSeq: number): Batch => {
    const rows = readInPieces(store, afterSeq, batchRows);
    const prepared = rows.then(deliver.prepare);
    // Whoever takes the batch meets the failure; nobody may.
    prepared.catch(() => undefined);
    return { afterSeq, rows, prepared };
  };
  const bringNext = async (state: CatchUp | undefined): Promise<LaneStep> => {
    const beganAtMs = clock.now();
    const cursor = store.readCursor(name);
    const batch = ahead?.afterSeq === cursor ? ahead : take(cursor);
    ahead = undefined;
    const [rows, prepared] = [await batch.rows, await batch.prepared];
    const last = rows.at(-1);
    if (last === undefined) return parts.probe();
    const sending = deliver.send(prepared, signal);
    // The next rows are read and encoded while these are on their way.
    const next = rows.length < batchRows ? undefined : take(last.seq);
    const delivery = await sending;
    ahead = delivery.kind === 'delivered' ? next : batch;
    if (delivery.kind !== 'delivered') return delivery;
    await confirm(rows, delivery.refused);
    noteSize(delivery.tooLarge);
    rate.add(rows.length, clock.now());
    setAside += delivery.refused.length;
    if (state !== undefined) return { kind: 'done', waitMs: paceMs(rows.length, beganAtMs, state) };
    return { kind: 'done', waitMs: rows.length < batchRows ? idleMs : 0 };
  };
  /** In pieces, each with its own refused rows: letting go of thousands of rows at once would hold up everything else. */
  const confirm = async (rows: readonly ReplicaRow[], refused: readonly RefusedRow[]): Promise<void> => {
    for (let start = 0; start < rows.length; start += rowsInOneGo) {
      if (start > 0) await nextTurn();
      const [first, last] = [
        rows[start]?.seq ?? 0,
        rows[Math.min(start + rowsInOneGo, rows.length) - 1]?.seq ?? 0,
      ];
      store.writeCursor(
        name,
        last,
        refused.filter(({ seq }) => seq >= first && seq <= last),
      );
    }
  };
  /** The set rate, or twice what comes in where that is more: otherwise the backlog would never end. */
  const paceMs = (rows: number, beganAtMs: number, state: CatchUp): number => {
    const tookMs = clock.now() - beganAtMs;
    const newestSeq = store.readCursor(name) + store.behind(name);
    const comingPerS = (1000 * (newestSeq - state.fromSeq)) / Math.max(10_000, clock.now() - state.sinceMs);
    return Math.max(0, (1000 * rows) / Math.max(parts.catchUpRowsPerS, 2 * comingPerS) - tookMs);
  };
  return {
    step: () => {
      const state = look();
      return state !== undefined && clock.now() - state.shownAtMs >= idleMs
        ? showNewest(state)
        : bringNext(state);
    },
    catchingUp: () => catchUp !== undefined,
    rowsPerS: () => rate.perS(clock.now()),
    setAsideRows: () => setAside,
  };
}

/** Rows after a place in the log, read and encoded. */
interface Batch {
  readonly afterSeq: number;
  readonly rows: Promise<readonly ReplicaRow[]>;
  readonly prepared: Promise<PreparedRows<ReplicaRow>>;
}

interface CatchUp {
  readonly sinceMs: number;
  /** The newest row when it began. */
  readonly fromSeq: number;
  /** The newest row shown ahead of its turn, and when that was. */
  shownSeq: number;
  shownAtMs: number;
}

async function readInPieces(
  store: ReplicaSource,
  afterSeq: number,
  most: number,
): Promise<readonly ReplicaRow[]> {
  const rows: ReplicaRow[] = [];
  while (rows.length < most) {
    const limit = Math.min(rowsInOneGo, most - rows.length);
    const piece = store.samplesAfter(rows.at(-1)?.seq ?? afterSeq, limit);
    rows.push(...piece);
    if (piece.length < limit) break;
    await nextTurn();
  }
  return rows;
}
