import type { Reason } from '@edge-margin/units';
import type { Connection } from './connection.js';
import { records } from './record-tables.js';

/** Something that is missing, as far as it can be noticed: from when to when, how much, and why. */
export interface GapRow {
  /** The same id twice is one gap. */
  readonly id: string;
  /** What is missing: `messages`, `series`, `replica <name>`. */
  readonly what: string;
  readonly fromMs: number;
  readonly toMs: number;
  /** How many, where it is known. */
  readonly count: number | null;
  readonly because: Reason;
}

export interface GapQuery {
  /** Gaps that reach into `[fromMs, toMs]`; all where left out. */
  readonly fromMs?: number;
  readonly toMs?: number;
  readonly what?: string;
  readonly limit: number;
}

export interface GapRecords {
  /** Records gaps that are not recorded yet. */
  readonly record: (gaps: readonly GapRow[]) => void;
  /** Records a gap, or widens the newest one of the same kind and reason where it goes on from that. */
  readonly extend: (gap: GapRow) => void;
  /** Newest first. */
  readonly query: (query: GapQuery) => readonly GapRow[];
}

/** A gap that begins within this time after the last one ended goes on from it. */
const goesOnWithinMs = 60_000;

/** Times of stations lie between milliseconds where a lag is part of them; a gap reaches at least as far. */
function inWholeMs({ fromMs, toMs }: GapRow): Pick<GapRow, 'fromMs' | 'toMs'> {
  return { fromMs: Math.floor(fromMs), toMs: Math.ceil(toMs) };
}

/** The gaps on the open connection. */
export function createGapRecords(connection: Connection): GapRecords {
  const insert = connection.prepare(
    'INSERT OR IGNORE INTO gap (id, what, from_ms, to_ms, count, because) VALUES (?, ?, ?, ?, ?, ?)',
  );
  const newest = connection
    .prepare(
      "SELECT number FROM gap WHERE what = ? AND because ->> 'code' = ? AND from_ms <= ? AND to_ms >= ? ORDER BY number DESC LIMIT 1",
    )
    .pluck();
  const widen = connection.prepare(
    'UPDATE gap SET from_ms = min(from_ms, ?), to_ms = max(to_ms, ?), count = count + ?, because = ? WHERE number = ?',
  );
  const insertOne = (gap: GapRow): void => {
    const { fromMs, toMs } = inWholeMs(gap);
    insert.run(gap.id, gap.what, fromMs, toMs, gap.count, JSON.stringify(gap.because));
  };
  return {
    record: (gaps) => connection.transaction(() => gaps.forEach(insertOne)),
    extend: (gap) =>
      connection.transaction(() => {
        const { what, count, because } = gap;
        const { fromMs, toMs } = inWholeMs(gap);
        const before = newest.get(what, because.code, toMs + goesOnWithinMs, fromMs - goesOnWithinMs) as
          number | undefined;
        if (before === undefined) insertOne(gap);
        else widen.run(fromMs, toMs, count, JSON.stringify(because), before);
      }),
    query: ({ fromMs, toMs, what, limit }) => {
      let query = records
        .selectFrom('gap')
        .selectAll()
        .orderBy('to_ms', 'desc')
        .orderBy('number', 'desc')
        .limit(limit);
      if (fromMs !== undefined) query = query.where('to_ms', '>=', fromMs);
      if (toMs !== undefined) query = query.where('from_ms', '<=', toMs);
      if (what !== undefined) query = query.where('what', '=', what);
      return connection.all(query.compile()).map((row) => ({
        id: row.id,
        what: row.what,
        fromMs: row.from_ms,
        toMs: row.to_ms,
        count: row.count,
        because: JSON.parse(row.because) as Reason,
      }));
    },
  };
}
