import type { Connection } from './connection.js';
import { finestLevel, type RollUpLevel, rollUpLevels } from './roll-up-level.js';

export interface DueWindow {
  readonly seriesNumber: number;
  readonly level: RollUpLevel;
  readonly window: number;
}

/** The windows that samples touched since they were rolled up, kept in the transaction that holds the samples. */
export interface DueWindows {
  /** Notes that a sample was written. Within a transaction. */
  readonly touch: (seriesNumber: number, atMs: number) => void;
  /** Windows that ended by `endedBeforeMs`, fine ones first, at most `limit`. */
  readonly ended: (endedBeforeMs: number, limit: number) => readonly DueWindow[];
  /** Numbers of the due windows of one series, from the one with number `first` to the one before `end`. */
  readonly ofSeries: (
    seriesNumber: number,
    level: RollUpLevel,
    first: number,
    end: number,
  ) => readonly number[];
  /** How many of them, at most `limit`. */
  readonly count: (
    seriesNumber: number,
    level: RollUpLevel,
    first: number,
    end: number,
    limit: number,
  ) => number;
  readonly settle: (due: DueWindow) => void;
}

/** The due windows on the open connection. */
export function createDueWindows(connection: Connection): DueWindows {
  const mark = connection.prepare(
    'INSERT OR IGNORE INTO roll_up_due (resolution, series_id, window) VALUES (?, ?, ?)',
  );
  const ended = connection
    .prepare('SELECT series_id, window FROM roll_up_due WHERE resolution = ? AND window < ?')
    .raw();
  const within = 'FROM roll_up_due WHERE resolution = ? AND series_id = ? AND window >= ? AND window < ?';
  const ofSeries = connection.prepare(`SELECT window ${within}`).pluck();
  const count = connection.prepare(`SELECT count(*) FROM (SELECT 1 ${within} LIMIT ?)`).pluck();
  const remove = connection.prepare(
    'DELETE FROM roll_up_due WHERE resolution = ? AND series_id = ? AND window = ?',
  );
  /** The window marked last at each level, by series: samples mostly come in order, and one mark a window is enough. */
  const marked = new Map<number, number[]>();
  connection.onRollback(() => marked.clear());
  return {
    touch: (seriesNumber, atMs) => {
      const known = marked.get(seriesNumber);
      if (known?.[finestLevel.number] === Math.floor(atMs / finestLevel.widthMs)) return;
      const last = known ?? [];
      for (const { number, widthMs } of rollUpLevels) {
        const window = Math.floor(atMs / widthMs);
        if (last[number] !== window) mark.run(number, seriesNumber, window);
        last[number] = window;
      }
      if (known === undefined) marked.set(seriesNumber, last);
    },
    ended: (endedBeforeMs, limit) => {
      const found: DueWindow[] = [];
      for (const level of rollUpLevels) {
        const firstOpen = Math.floor(endedBeforeMs / level.widthMs);
        // No `LIMIT ?`: SQLite plans a statement anew whenever its limit is bound.
        for (const row of ended.iterate(level.number, firstOpen)) {
          const [seriesNumber, window] = row as [number, number];
          found.push({ seriesNumber, level, window });
          if (found.length >= limit) return found;
        }
      }
      return found;
    },
    ofSeries: (seriesNumber, level, first, end) =>
      ofSeries.all(level.number, seriesNumber, first, end) as number[],
    count: (seriesNumber, level, first, end, limit) =>
      count.get(level.number, seriesNumber, first, end, limit) as number,
    settle: ({ seriesNumber, level, window }) => {
      remove.run(level.number, seriesNumber, window);
      // What touches this window next must leave its marks anew.
      if (marked.get(seriesNumber)?.[level.number] === window) marked.delete(seriesNumber);
    },
  };
}
