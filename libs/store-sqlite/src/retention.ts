import { windowStartMs } from '@edge-margin/series';
import { reason } from '@edge-margin/units';
import type { Connection } from './connection.js';
import type { Dropped } from './dropped.js';
import type { GapRecords } from './gap-records.js';
import { finestLevel, rawLevel } from './roll-up-level.js';
import { type RollUpParts, wholeWindows } from './roll-ups.js';
import type { SeriesNumbers } from './series-numbers.js';

/** Keeps the file bounded. Every call does a bounded piece of work, so that it can run between messages. */
export interface Retention {
  /**
   * Drops samples older than `beforeMs` (event time), at most about `workRows`, by whole windows of 10 s; what has not been rolled up is
   * rolled up first.
   */
  readonly dropSamplesBefore: (beforeMs: number, workRows: number) => Dropped;
  /**
   * Drops the oldest samples, at most `workRows`, while the space in use is more than `maxBytes`. They go before their time: a gap `series`
   * says so.
   */
  readonly dropSamplesBeyond: (maxBytes: number, workRows: number) => Dropped;
  /** Bytes in use: the file without its free pages. */
  readonly usedBytes: () => number;
  /** Gives free pages back to the file system, at most `maxPages`, where they are more than a quarter of the file; gives how many. */
  readonly releaseSpace: (maxPages: number) => number;
}

/** Retention on the open connection. */
export function createRetention(
  connection: Connection,
  series: SeriesNumbers,
  gaps: GapRecords,
  rollUps: Pick<RollUpParts, 'handOn' | 'letGo'>,
): Retention {
  const nth = connection
    .prepare('SELECT at_ms FROM sample WHERE series_id = ? ORDER BY at_ms LIMIT 1 OFFSET ?')
    .pluck();
  const newest = connection.prepare('SELECT max(at_ms) FROM sample WHERE series_id = ?').pluck();
  const drop = connection.prepare('DELETE FROM sample WHERE series_id = ? AND at_ms < ?');

  const dropBefore = (beforeMs: number, workRows: number): Dropped => {
    let rows = 0;
    for (const { number } of series.all()) {
      const oldestMs = nth.get(number, 0) as number | undefined;
      if (oldestMs === undefined || oldestMs >= windowStartMs(beforeMs, finestLevel.widthMs)) continue;
      const firstKeptMs = (nth.get(number, Math.max(1, workRows - rows)) as number | undefined) ?? Infinity;
      const cutMs = wholeWindows(beforeMs, firstKeptMs, oldestMs, finestLevel.widthMs);
      rollUps.handOn(number, rawLevel, cutMs);
      rows += drop.run(number, cutMs).changes;
      rollUps.letGo.note(number, rawLevel, cutMs);
      if (cutMs < windowStartMs(beforeMs, finestLevel.widthMs)) return { rows, done: false };
    }
    return { rows, done: true };
  };
  const spanMs = (): readonly [oldestMs: number, newestMs: number] => {
    let [oldestMs, newestMs] = [Infinity, -Infinity];
    for (const { number } of series.all()) {
      oldestMs = Math.min(oldestMs, (nth.get(number, 0) as number | undefined) ?? Infinity);
      newestMs = Math.max(newestMs, (newest.get(number) as number | null) ?? -Infinity);
    }
    return [oldestMs, newestMs];
  };
  const dropOldest = (workRows: number): Dropped => {
    const [oldestMs, newestMs] = spanMs();
    if (newestMs < oldestMs) return { rows: 0, done: true };
    // A fiftieth of the time kept: one hour of two days. At least one window.
    const fiftiethMs = Math.ceil((newestMs - oldestMs) / 50);
    const beforeMs = windowStartMs(oldestMs + Math.max(finestLevel.widthMs, fiftiethMs), finestLevel.widthMs);
    const { rows } = dropBefore(beforeMs, workRows);
    const because = reason(
      'store-size-limit',
      'dropped before their time, because the store had reached its size limit',
    );
    gaps.extend({
      id: `series ${oldestMs}`,
      what: 'series',
      fromMs: oldestMs,
      toMs: beforeMs,
      count: rows,
      because,
    });
    return { rows, done: false };
  };
  const usedBytes = (): number =>
    (connection.pragma('page_count') - connection.pragma('freelist_count')) * connection.pragma('page_size');
  return {
    dropSamplesBefore: (beforeMs, workRows) => connection.transaction(() => dropBefore(beforeMs, workRows)),
    dropSamplesBeyond: (maxBytes, workRows) =>
      usedBytes() <= maxBytes ? { rows: 0, done: true } : connection.transaction(() => dropOldest(workRows)),
    usedBytes,
    releaseSpace: (maxPages) => {
      const free = connection.pragma('freelist_count');
      if (free * 4 <= connection.pragma('page_count')) return 0;
      connection.pragmaRow(`incremental_vacuum(${Math.floor(maxPages)})`);
      return free - connection.pragma('freelist_count');
    },
  };
}
