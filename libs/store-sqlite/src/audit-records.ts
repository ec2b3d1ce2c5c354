import type { Connection } from './connection.js';
import { durably } from './durably.js';
import { records } from './record-tables.js';

/** Something that happened at the door. Holds no secrets. */
export interface AuditRow {
  readonly id: number;
  readonly atMs: number;
  readonly actor: string | null;
  readonly what: string;
  readonly subject: string | null;
  readonly from: string | null;
  readonly detail: string | null;
}

export interface AuditQuery {
  /** Inclusive, epoch ms. */
  readonly fromMs: number;
  /** Inclusive, epoch ms. */
  readonly toMs: number;
  readonly limit: number;
  /** Only what comes after this entry in the order of the answer: how one page goes on from another. */
  readonly before?: AuditPlace;
}

/** Where an entry stands: by its time, and of one time by its id. It stays where it is, whatever is added or forgotten. */
export type AuditPlace = Pick<AuditRow, 'atMs' | 'id'>;

export interface AuditRecords {
  /** Adds an entry and syncs it to the disk; one that may wait is synced with the next write that is. */
  readonly add: (entry: Omit<AuditRow, 'id'>, durability: 'synced' | 'may wait') => void;
  /** Newest first. */
  readonly query: (query: AuditQuery) => readonly AuditRow[];
  /** Forgets entries before the instant, and the oldest of more than `maxRows`; at most `workRows` at a time. */
  readonly forget: (beforeMs: number, maxRows: number, workRows: number) => number;
}

/** The audit on the open connection. */
export function createAuditRecords(connection: Connection): AuditRecords {
  const add = connection.prepare(
    'INSERT INTO audit (at_ms, actor, what, subject, from_address, detail) VALUES (?, ?, ?, ?, ?, ?)',
  );
  // Ids count up without gaps but for what was forgotten at the old end, so that their span is the number of rows.
  const forget = connection.prepare(`
    DELETE FROM audit WHERE id IN (
      SELECT id FROM (SELECT id, at_ms FROM audit ORDER BY id LIMIT ?)
      WHERE at_ms < ? OR id <= (SELECT max(id) FROM audit) - ?)`);
  return {
    add: ({ atMs, actor, what, subject, from, detail }, durability) => {
      const insert = (): void => void add.run(atMs, actor, what, subject, from, detail);
      if (durability === 'synced') durably(connection, insert);
      else connection.transaction(insert);
    },
    query: ({ fromMs, toMs, limit, before }) => {
      let query = records
        .selectFrom('audit')
        .selectAll()
        .where('at_ms', '>=', fromMs)
        .where('at_ms', '<=', toMs)
        .orderBy('at_ms', 'desc')
        .orderBy('id', 'desc')
        .limit(limit);
      if (before !== undefined)
        query = query.where((row) =>
          row(row.refTuple('at_ms', 'id'), '<', row.tuple(before.atMs, before.id)),
        );
      return connection.all(query.compile()).map((row) => ({
        id: row.id,
        atMs: row.at_ms,
        actor: row.actor,
        what: row.what,
        subject: row.subject,
        from: row.from_address,
        detail: row.detail,
      }));
    },
    forget: (beforeMs, maxRows, workRows) =>
      connection.transaction(() => forget.run(workRows, beforeMs, maxRows).changes),
  };
}
