import type { Connection } from './connection.js';
import { durably } from './durably.js';
import { records } from './record-tables.js';

/** A sign-in as stored: the id itself stands in the person's cookie only. */
export interface SessionRow {
  readonly idHash: string;
  readonly personId: string;
  readonly createdAtMs: number;
  readonly lastUsedAtMs: number;
}

export interface SessionRecords {
  /** Adds a session; of one person's the newest `keep` stay. */
  readonly add: (session: SessionRow, keep: number) => void;
  readonly byIdHash: (idHash: string) => SessionRow | undefined;
  readonly noteUse: (idHash: string, atMs: number) => void;
  /** Ends one session. */
  readonly end: (idHash: string) => void;
  /** Ends every session of the person. */
  readonly endAllOf: (personId: string) => void;
  /** Forgets sessions made before, and those not used since. */
  readonly forget: (createdBeforeMs: number, lastUsedBeforeMs: number) => void;
}

/** The sessions on the open connection. */
export function createSessionRecords(connection: Connection): SessionRecords {
  const add = connection.prepare('INSERT INTO door_session VALUES (?, ?, ?, ?)');
  const trim = connection.prepare(`
    DELETE FROM door_session WHERE person_id = ? AND id_hash NOT IN
      (SELECT id_hash FROM door_session WHERE person_id = ? ORDER BY created_at_ms DESC LIMIT ?)`);
  const use = connection.prepare('UPDATE door_session SET last_used_at_ms = ? WHERE id_hash = ?');
  const end = connection.prepare('DELETE FROM door_session WHERE id_hash = ?');
  const endAll = connection.prepare('DELETE FROM door_session WHERE person_id = ?');
  const forget = connection.prepare(
    'DELETE FROM door_session WHERE created_at_ms < ? OR last_used_at_ms < ?',
  );
  return {
    add: ({ idHash, personId, createdAtMs, lastUsedAtMs }, keep) =>
      connection.transaction(() => {
        add.run(idHash, personId, createdAtMs, lastUsedAtMs);
        trim.run(personId, personId, keep);
      }),
    byIdHash: (idHash) => {
      const query = records.selectFrom('door_session').selectAll().where('id_hash', '=', idHash);
      return connection.all(query.compile()).map((row) => ({
        idHash: row.id_hash,
        personId: row.person_id,
        createdAtMs: row.created_at_ms,
        lastUsedAtMs: row.last_used_at_ms,
      }))[0];
    },
    noteUse: (idHash, atMs) => connection.transaction(() => void use.run(atMs, idHash)),
    end: (idHash) => durably(connection, () => void end.run(idHash)),
    endAllOf: (personId) => durably(connection, () => void endAll.run(personId)),
    forget: (createdBeforeMs, lastUsedBeforeMs) =>
      connection.transaction(() => void forget.run(createdBeforeMs, lastUsedBeforeMs)),
  };
}
