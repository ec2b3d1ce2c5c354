import type { SeriesSample } from '@edge-margin/series';
import type { Connection } from './connection.js';
import type { RecentPoints } from './recent-points.js';

/** Writes samples into their table, in the order in which they lie there. Within a transaction. */
export type SampleWriter = (bySeries: ReadonlyMap<number, SeriesSample[]>) => void;

/** Rows of one statement: with 16 a row costs 0.6 times what it costs alone; more gain nothing. */
export const rowsAtATime = 16;

/**
 * The writer on the open connection. Samples later than all that their series holds, nearly all of them, replace nothing and go many to a
 * statement; the others go one by one.
 */
export function createSampleWriter(connection: Connection, recent: RecentPoints): SampleWriter {
  // FAIL: where a row cannot be kept the transaction is rolled back, never one statement. To be able to do that (ABORT, and REPLACE too),
  // SQLite copies every page that a statement of many rows touches, and nothing is gained.
  const insertInto = 'INSERT OR FAIL INTO sample (series_id, at_ms, value) VALUES';
  const insertOne = connection.prepare(`${insertInto} (?, ?, ?)`);
  const insertMany = connection.prepare(
    `${insertInto} ${new Array(rowsAtATime).fill('(?, ?, ?)').join(', ')}`,
  );
  const replace = connection.prepare(
    'INSERT OR REPLACE INTO sample (series_id, at_ms, value) VALUES (?, ?, ?)',
  );
  return (bySeries) => {
    const rows: (number | string)[] = [];
    const again: (number | string)[] = [];
    for (const number of [...bySeries.keys()].sort((a, b) => a - b)) {
      for (const { atMs, value } of inOrderOfTime(bySeries.get(number) ?? [])) {
        (recent.take(number, atMs, value) ? rows : again).push(number, atMs, value);
      }
    }
    const fullEnd = rows.length - (rows.length % (3 * rowsAtATime));
    for (let at = 0; at < fullEnd; at += 3 * rowsAtATime)
      insertMany.run(...rows.slice(at, at + 3 * rowsAtATime));
    for (let at = fullEnd; at < rows.length; at += 3) insertOne.run(rows[at], rows[at + 1], rows[at + 2]);
    for (let at = 0; at < again.length; at += 3) replace.run(again[at], again[at + 1], again[at + 2]);
  };
}

/** Sorted in place where it is not in order already; of one instant, what came last stays last. */
function inOrderOfTime(samples: SeriesSample[]): readonly SeriesSample[] {
  const inOrder = samples.every(({ atMs }, index) => index === 0 || atMs >= (samples[index - 1]?.atMs ?? 0));
  return inOrder ? samples : samples.sort((a, b) => a.atMs - b.atMs);
}
