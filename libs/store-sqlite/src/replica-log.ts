import { type RefusedRow, type ReplicaRow, type ReplicaSource, seriesKey } from '@edge-margin/series';
import { reason } from '@edge-margin/units';
import type { Connection } from './connection.js';
import type { DueWindows } from './due-windows.js';
import type { GapRecords } from './gap-records.js';
import { records } from './record-tables.js';
import type { SeriesNumbers } from './series-numbers.js';

export interface ReplicaLogLimits {
  /** Keep at most this many rows for a replica that lags. */
  readonly maxRows: number;
  /** Keep no rows at the head of the log whose event time lies before this, epoch ms. */
  readonly beforeMs: number;
}

/** Rows in the order of their arrival for replicas that lag, with each replica's cursor. Kept only while there is a replica. */
export interface ReplicaLog extends ReplicaSource {
  /** Forgets a replica; the rows kept for it alone go. */
  readonly removeReplica: (name: string) => void;
  /** What one replica refused for good, newest first. */
  readonly refused: (name: string, limit: number) => readonly RefusedRow[];
  /**
   * Lets go of the oldest rows beyond the limits, at most `workRows` in one call; what a replica did not have yet is recorded as a gap
   * `replica <name>`. Gives the number of rows let go.
   */
  readonly trim: (limits: ReplicaLogLimits, workRows: number) => number;
  /** Told of every sample within the transaction under way: marks its windows as due, and appends it where a replica wants it. */
  readonly appender: () => ((seriesNumber: number, atMs: number, value: number | string) => void) | undefined;
}

/** At most this many refused rows are kept per replica. */
const refusedKept = 1000;

/** The replica log on the open connection. Sequence numbers have no holes, so that counting is subtracting. */
export function createReplicaLog(
  connection: Connection,
  series: SeriesNumbers,
  gaps: GapRecords,
  due: DueWindows,
): ReplicaLog {
  const statement = connection.prepare;
  const add = statement('INSERT OR IGNORE INTO replica (name, seq) VALUES (?, ?)');
  const remove = statement('DELETE FROM replica WHERE name = ?');
  const cursor = statement('SELECT seq FROM replica WHERE name = ?').pluck();
  const cursors = statement('SELECT name, seq FROM replica').raw();
  const lowest = statement('SELECT min(seq) FROM replica').pluck();
  const advance = statement('UPDATE replica SET seq = ? WHERE name = ? AND seq < ?');
  // The cursors stand for rows that are gone already: numbers are never given twice.
  const lastSeq = statement(
    'SELECT max(ifnull((SELECT max(seq) FROM replica_log), 0), ifnull((SELECT max(seq) FROM replica), 0))',
  ).pluck();
  const insert = statement('INSERT INTO replica_log (seq, series_id, at_ms, value) VALUES (?, ?, ?, ?)');
  const after = statement(
    'SELECT seq, series_id, at_ms, value FROM replica_log WHERE seq > ? ORDER BY seq LIMIT ?',
  ).raw();
  const head = statement('SELECT seq, at_ms FROM replica_log ORDER BY seq LIMIT ?').raw();
  const span = statement(
    'SELECT min(at_ms), max(at_ms), count(*) FROM replica_log WHERE seq > ? AND seq <= ?',
  ).raw();
  const drop = statement('DELETE FROM replica_log WHERE seq <= ?');
  const clear = statement('DELETE FROM replica_log');
  const refuse = statement('INSERT INTO replica_refused (replica, at_ms, json) VALUES (?, ?, ?)');
  const limitRefused = statement(
    'DELETE FROM replica_refused WHERE replica = ? AND number <= (SELECT number FROM replica_refused WHERE replica = ? ORDER BY number DESC LIMIT 1 OFFSET ?)',
  );

  const rowOf = createRowMaker(series);
  const readCursor = (name: string): number =>
    connection.guard(() => (cursor.get(name) as number | undefined) ?? 0);
  const dropWhatAllHave = (): void => {
    const seq = lowest.get() as number | null;
    if (seq === null) clear.run();
    else drop.run(seq);
  };
  const passOver = (cutSeq: number): void => {
    for (const [name, seq] of cursors.all() as [string, number][]) {
      if (seq >= cutSeq) continue;
      const [fromMs, toMs, count] = span.get(seq, cutSeq) as [number, number, number];
      advance.run(cutSeq, name, cutSeq);
      const because = reason('replica-too-far-behind', `${count} rows were let go before ${name} took them`, {
        replica: name,
        rows: count,
      });
      gaps.extend({ id: `replica ${name} ${seq}`, what: `replica ${name}`, fromMs, toMs, count, because });
    }
  };

  return {
    addReplica: (name) => connection.transaction(() => add.run(name, lastSeq.get() as number)),
    removeReplica: (name) =>
      connection.transaction(() => {
        remove.run(name);
        dropWhatAllHave();
      }),
    readCursor,
    samplesAfter: (seq, limit) => {
      const rows = connection.guard(() => after.all(seq, limit) as LogRow[]);
      return rows.map(rowOf);
    },
    writeCursor: (name, seq, refused = []) =>
      connection.transaction(() => {
        for (const { seq: row, sample, because } of refused)
          refuse.run(name, sample.atMs, JSON.stringify({ seq: row, sample, because }));
        if (refused.length > 0) limitRefused.run(name, name, refusedKept);
        advance.run(seq, name, seq);
        dropWhatAllHave();
      }),
    behind: (name) => connection.guard(() => (lastSeq.get() as number) - readCursor(name)),
    refused: (name, limit) => {
      const query = records
        .selectFrom('replica_refused')
        .select('json')
        .where('replica', '=', name)
        .orderBy('number', 'desc')
        .limit(limit);
      return connection.all(query.compile()).map(({ json }) => JSON.parse(json) as RefusedRow);
    },
    trim: (limits, workRows) =>
      connection.transaction(() => {
        const rows = head.all(workRows) as [number, number][];
        const cutSeq = lastRowBeyond(rows, limits, lastSeq.get() as number);
        if (cutSeq === undefined) return 0;
        passOver(cutSeq);
        return drop.run(cutSeq).changes;
      }),
    appender: () => {
      if ((lowest.get() as number | null) === null) return due.touch;
      let seq = lastSeq.get() as number;
      return (seriesNumber, atMs, value) => {
        seq += 1;
        insert.run(seq, seriesNumber, atMs, value);
        due.touch(seriesNumber, atMs);
      };
    },
  };
}

type LogRow = readonly [seq: number, seriesNumber: number, atMs: number, value: number | string];

/** Rows are made from their numbers by the thousand while a backlog is brought up: field by field, which is several times faster than spreading. */
function createRowMaker(series: SeriesNumbers): (row: LogRow) => ReplicaRow {
  const keys = new Map<number, string>();
  return ([seq, seriesNumber, atMs, value]) => {
    const found = series.byNumber(seriesNumber);
    if (found === undefined)
      throw new Error(`replica log: row ${seq} names series ${seriesNumber}, which is not there`);
    const { measurement, winderId, stationId, end, field } = found.id;
    let key = keys.get(seriesNumber);
    if (key === undefined) keys.set(seriesNumber, (key = seriesKey(found.id)));
    return { seq, key, sample: { measurement, winderId, stationId, end, field, atMs, value } };
  };
}

/** The last of the rows at the head of the log that is beyond a limit. */
function lastRowBeyond(
  rows: readonly (readonly [seq: number, atMs: number])[],
  limits: ReplicaLogLimits,
  lastSeq: number,
): number | undefined {
  const kept = rows.findIndex(([seq, atMs]) => seq > lastSeq - limits.maxRows && atMs >= limits.beforeMs);
  return (kept === -1 ? rows : rows.slice(0, kept)).at(-1)?.[0];
}
