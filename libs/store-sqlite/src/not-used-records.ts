import type { Reason } from '@edge-margin/units';
import type { Connection } from './connection.js';
import { records } from './record-tables.js';

/** How many readings were not used for one reason, with the last of them. */
export interface NotUsedCount {
  readonly code: string;
  readonly count: number;
  /** Arrival of the last one, epoch ms. */
  readonly lastAtMs: number;
  readonly last: {
    readonly because: Reason;
    readonly topic: string;
    readonly sample: string;
    readonly stationKey: string | null;
    readonly signal: string | null;
  };
}

/** One reading that was not used, as the decoding gives it. */
export interface NotUsedReading {
  readonly because: Reason;
  readonly topic: string;
  readonly arrivedAtMs: number;
  readonly stationKey?: string;
  readonly signal?: string;
  readonly sample: string;
}

export interface NotUsedRecords {
  /** Adds to the counts. */
  readonly add: (counts: readonly NotUsedCount[]) => void;
  /** Counts since the file was made, most frequent reason first. */
  readonly summary: () => { readonly total: number; readonly byReason: readonly NotUsedCount[] };
}

/** Counts readings by the code of their reason: what a batch hands to the store. */
export function countNotUsed(readings: readonly NotUsedReading[]): readonly NotUsedCount[] {
  const counts = new Map<string, NotUsedCount>();
  for (const { because, topic, sample, arrivedAtMs, stationKey, signal } of readings) {
    const last = { because, topic, sample, stationKey: stationKey ?? null, signal: signal ?? null };
    const count = (counts.get(because.code)?.count ?? 0) + 1;
    counts.set(because.code, { code: because.code, count, lastAtMs: arrivedAtMs, last });
  }
  return [...counts.values()];
}

/** The counts on the open connection. */
export function createNotUsedRecords(connection: Connection): NotUsedRecords {
  const add = connection.prepare(`
    INSERT INTO reading_not_used (code, count, last_at_ms, last) VALUES (?, ?, ?, ?)
    ON CONFLICT (code) DO UPDATE SET count = count + excluded.count, last_at_ms = excluded.last_at_ms, last = excluded.last`);
  return {
    add: (counts) =>
      connection.transaction(() => {
        for (const { code, count, lastAtMs, last } of counts)
          add.run(code, count, lastAtMs, JSON.stringify(last));
      }),
    summary: () => {
      const query = records
        .selectFrom('reading_not_used')
        .selectAll()
        .orderBy('count', 'desc')
        .orderBy('code');
      const byReason = connection.all(query.compile()).map((row): NotUsedCount => {
        const last = JSON.parse(row.last) as NotUsedCount['last'];
        return { code: row.code, count: row.count, lastAtMs: row.last_at_ms, last };
      });
      return { total: byReason.reduce((sum, { count }) => sum + count, 0), byReason };
    },
  };
}
