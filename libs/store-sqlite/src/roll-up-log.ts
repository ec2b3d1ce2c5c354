import type { RollUpRow, RollUpSource } from '@edge-margin/series';
import { reason } from '@edge-margin/units';
import type { Connection } from './connection.js';
import type { GapRecords } from './gap-records.js';
import { type RollUpLevel, rollUpLevels } from './roll-up-level.js';
import type { RollUpTable } from './roll-up-table.js';
import type { SeriesNumbers } from './series-numbers.js';

/** Which windows a replica lacks, in the order in which they were rolled up. */
export interface RollUpLog extends RollUpSource {
  readonly removeReplica: (name: string) => void;
  /** Notes a window. Within a transaction; nothing where no replica wants it. */
  readonly append: (seriesNumber: number, level: RollUpLevel, window: number) => void;
  /** Lets go of the oldest beyond `maxRows`, at most `workRows`; what a replica lacked is a gap `replica <name> roll-ups`. Gives how many. */
  readonly trim: (maxRows: number, workRows: number) => number;
}

/** The log of roll-ups on the open connection. Sequence numbers have no holes, so that counting is subtracting. */
export function createRollUpLog(
  connection: Connection,
  series: SeriesNumbers,
  table: RollUpTable,
  gaps: GapRecords,
): RollUpLog {
  const statement = connection.prepare;
  const add = statement('INSERT OR IGNORE INTO roll_up_replica (name, seq) VALUES (?, ?)');
  const remove = statement('DELETE FROM roll_up_replica WHERE name = ?');
  const cursor = statement('SELECT seq FROM roll_up_replica WHERE name = ?').pluck();
  const lowest = statement('SELECT min(seq) FROM roll_up_replica').pluck();
  const advance = statement('UPDATE roll_up_replica SET seq = ? WHERE name = ? AND seq < ?');
  const lagging = statement('SELECT name, seq FROM roll_up_replica WHERE seq < ?').raw();
  const lastSeq = statement(
    'SELECT max(ifnull((SELECT max(seq) FROM roll_up_log), 0), ifnull((SELECT max(seq) FROM roll_up_replica), 0))',
  ).pluck();
  const insert = statement(
    'INSERT INTO roll_up_log (seq, series_id, resolution, window) VALUES (?, ?, ?, ?)',
  );
  const after = statement(
    'SELECT seq, series_id, resolution, window FROM roll_up_log WHERE seq > ? ORDER BY seq LIMIT ?',
  ).raw();
  const drop = statement('DELETE FROM roll_up_log WHERE seq <= ?');
  const clear = statement('DELETE FROM roll_up_log');
  const readCursor = (name: string): number =>
    connection.guard(() => (cursor.get(name) as number | undefined) ?? 0);
  const dropWhatAllHave = (): void => {
    const seq = lowest.get() as number | null;
    if (seq === null) clear.run();
    else drop.run(seq);
  };
  const rowOf = ([seq, seriesNumber, levelNumber, window]: LogRow): readonly RollUpRow[] => {
    const level = rollUpLevels.find(({ number }) => number === levelNumber);
    const found = series.byNumber(seriesNumber);
    // A window that has been let go meanwhile has nothing left to say.
    const summary = level === undefined ? undefined : table.read(seriesNumber, level, window);
    if (level === undefined || found === undefined || summary === undefined) return [];
    return [{ seq, resolution: level.resolution, id: found.id, window: summary }];
  };
  const passOver = (cut: readonly LogRow[], cutSeq: number): void => {
    const starts = cut.map(([, , levelNumber, window]) => window * widthOf(levelNumber));
    for (const [name, seq] of lagging.all(cutSeq) as [string, number][]) {
      const count = cutSeq - seq;
      advance.run(cutSeq, name, cutSeq);
      const because = reason(
        'replica-too-far-behind',
        `${count} roll-ups were let go before ${name} took them`,
        { replica: name, rows: count },
      );
      const what = `replica ${name} roll-ups`;
      const [fromMs, toMs] = [Math.min(...starts), Math.max(...starts)];
      gaps.extend({ id: `${what} ${seq}`, what, fromMs, toMs, count, because });
    }
  };
  return {
    addReplica: (name) => connection.transaction(() => add.run(name, lastSeq.get() as number)),
    removeReplica: (name) =>
      connection.transaction(() => {
        remove.run(name);
        dropWhatAllHave();
      }),
    append: (seriesNumber, level, window) => {
      if ((lowest.get() as number | null) === null) return;
      insert.run((lastSeq.get() as number) + 1, seriesNumber, level.number, window);
    },
    waiting: (name, limit) =>
      connection.guard(() => (after.all(readCursor(name), limit) as LogRow[]).flatMap(rowOf)),
    confirm: (name, seq) =>
      connection.transaction(() => {
        advance.run(seq, name, seq);
        dropWhatAllHave();
      }),
    behind: (name) => connection.guard(() => (lastSeq.get() as number) - readCursor(name)),
    trim: (maxRows, workRows) =>
      connection.transaction(() => {
        const oldest = lowest.get() as number | null;
        if (oldest === null) return 0;
        const surplus = Math.min(workRows, (lastSeq.get() as number) - oldest - maxRows);
        const cut = surplus < 1 ? [] : (after.all(oldest, surplus) as LogRow[]);
        const cutSeq = cut.at(-1)?.[0];
        if (cutSeq === undefined) return 0;
        passOver(cut, cutSeq);
        return drop.run(cutSeq).changes;
      }),
  };
}

function widthOf(levelNumber: number): number {
  return rollUpLevels.find(({ number }) => number === levelNumber)?.widthMs ?? 0;
}

type LogRow = readonly [seq: number, seriesNumber: number, levelNumber: number, window: number];
