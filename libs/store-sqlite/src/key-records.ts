import type { Connection } from './connection.js';
import { durably } from './durably.js';
import { records } from './record-tables.js';

/** A machine's key as stored: the key itself was shown once. */
export interface KeyRow {
  readonly id: string;
  readonly label: string;
  /** Unique: the same for labels that look alike. */
  readonly labelKey: string;
  readonly beginsWith: string;
  readonly keyHash: string;
  readonly actions: readonly string[];
  readonly createdAtMs: number;
  readonly expiresAtMs: number;
  readonly lastUsedAtMs: number | null;
}

export interface KeyRecords {
  readonly add: (key: KeyRow) => void;
  readonly byKeyHash: (keyHash: string) => KeyRow | undefined;
  readonly byId: (id: string) => KeyRow | undefined;
  readonly byLabelKey: (labelKey: string) => KeyRow | undefined;
  /** Newest first. */
  readonly all: () => readonly KeyRow[];
  readonly noteUse: (id: string, atMs: number) => void;
  readonly end: (id: string) => void;
}

interface StoredKey {
  readonly id: string;
  readonly label: string;
  readonly label_key: string;
  readonly begins_with: string;
  readonly key_hash: string;
  readonly actions: string;
  readonly created_at_ms: number;
  readonly expires_at_ms: number;
  readonly last_used_at_ms: number | null;
}

const rowOf = (stored: StoredKey): KeyRow => ({
  id: stored.id,
  label: stored.label,
  labelKey: stored.label_key,
  beginsWith: stored.begins_with,
  keyHash: stored.key_hash,
  actions: JSON.parse(stored.actions) as string[],
  createdAtMs: stored.created_at_ms,
  expiresAtMs: stored.expires_at_ms,
  lastUsedAtMs: stored.last_used_at_ms,
});

/** The keys on the open connection. */
export function createKeyRecords(connection: Connection): KeyRecords {
  const add = connection.prepare('INSERT INTO api_key VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)');
  const use = connection.prepare('UPDATE api_key SET last_used_at_ms = ? WHERE id = ?');
  const end = connection.prepare('DELETE FROM api_key WHERE id = ?');
  const keys = () => records.selectFrom('api_key').selectAll();
  return {
    add: (key) =>
      durably(connection, () => {
        add.run(
          key.id,
          key.label,
          key.labelKey,
          key.beginsWith,
          key.keyHash,
          JSON.stringify(key.actions),
          key.createdAtMs,
          key.expiresAtMs,
          key.lastUsedAtMs,
        );
      }),
    byKeyHash: (keyHash) => connection.all(keys().where('key_hash', '=', keyHash).compile()).map(rowOf)[0],
    byId: (id) => connection.all(keys().where('id', '=', id).compile()).map(rowOf)[0],
    byLabelKey: (labelKey) =>
      connection.all(keys().where('label_key', '=', labelKey).compile()).map(rowOf)[0],
    all: () => connection.all(keys().orderBy('created_at_ms', 'desc').orderBy('id').compile()).map(rowOf),
    noteUse: (id, atMs) => connection.transaction(() => void use.run(atMs, id)),
    end: (id) => durably(connection, () => void end.run(id)),
  };
}
