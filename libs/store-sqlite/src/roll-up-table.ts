import type { SeriesPoint, WindowSummary } from '@edge-margin/series';
import type { Connection } from './connection.js';
import type { RollUpLevel } from './roll-up-level.js';

/** The windows as they were rolled up last. */
export interface RollUpTable {
  readonly read: (seriesNumber: number, level: RollUpLevel, window: number) => WindowSummary | undefined;
  /** From the window with number `first` to the one before `end`, in order. */
  readonly range: (
    seriesNumber: number,
    level: RollUpLevel,
    first: number,
    end: number,
  ) => readonly WindowSummary[];
  readonly write: (seriesNumber: number, level: RollUpLevel, summary: WindowSummary) => void;
  readonly remove: (seriesNumber: number, level: RollUpLevel, first: number, end: number) => number;
  /** Number of the oldest window; undefined where there is none. */
  readonly oldest: (seriesNumber: number, level: RollUpLevel) => number | undefined;
  /** Number of the window that `count` older ones come before; undefined where there are fewer. */
  readonly nth: (seriesNumber: number, level: RollUpLevel, count: number) => number | undefined;
}

/** The table of roll-ups on the open connection. */
export function createRollUpTable(connection: Connection): RollUpTable {
  const columns = 'window, count, last, last_at, low, low_at, high, high_at, mean';
  const ofSeries = 'FROM roll_up WHERE series_id = ? AND resolution = ?';
  const one = connection.prepare(`SELECT ${columns} ${ofSeries} AND window = ?`).raw();
  const range = connection
    .prepare(`SELECT ${columns} ${ofSeries} AND window >= ? AND window < ? ORDER BY window`)
    .raw();
  const write = connection.prepare(
    `INSERT OR REPLACE INTO roll_up (series_id, resolution, ${columns}) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
  );
  const remove = connection.prepare(`DELETE ${ofSeries} AND window >= ? AND window < ?`);
  const nth = connection.prepare(`SELECT window ${ofSeries} ORDER BY window LIMIT 1 OFFSET ?`).pluck();
  return {
    read: (seriesNumber, level, window) => {
      const row = one.get(seriesNumber, level.number, window) as RollUpRowColumns | undefined;
      return row === undefined ? undefined : summaryOf(row, level.widthMs);
    },
    range: (seriesNumber, level, first, end) =>
      (range.all(seriesNumber, level.number, first, end) as RollUpRowColumns[]).map((row) =>
        summaryOf(row, level.widthMs),
      ),
    write: (seriesNumber, level, { startMs, count, last, numbers }) => {
      write.run(
        seriesNumber,
        level.number,
        Math.floor(startMs / level.widthMs),
        count,
        last[1],
        last[0] - startMs,
        numbers?.low[1] ?? null,
        numbers === null ? null : numbers.low[0] - startMs,
        numbers?.high[1] ?? null,
        numbers === null ? null : numbers.high[0] - startMs,
        numbers?.mean ?? null,
      );
    },
    remove: (seriesNumber, level, first, end) => remove.run(seriesNumber, level.number, first, end).changes,
    oldest: (seriesNumber, level) => nth.get(seriesNumber, level.number, 0) as number | undefined,
    nth: (seriesNumber, level, count) => nth.get(seriesNumber, level.number, count) as number | undefined,
  };
}

type RollUpRowColumns = readonly [
  window: number,
  count: number,
  last: number | string,
  lastAt: number,
  low: number | null,
  lowAt: number | null,
  high: number | null,
  highAt: number | null,
  mean: number | null,
];

function summaryOf(row: RollUpRowColumns, widthMs: number): WindowSummary {
  const [window, count, last, lastAt, low, lowAt, high, highAt, mean] = row;
  const startMs = window * widthMs;
  const point = (value: number, at: number | null): SeriesPoint => [startMs + (at ?? 0), value];
  const numbers =
    low === null || high === null || mean === null
      ? null
      : { low: point(low, lowAt), high: point(high, highAt), mean };
  return { startMs, count, last: [startMs + lastAt, last], numbers };
}
