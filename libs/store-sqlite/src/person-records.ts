import type { Connection } from './connection.js';
import { durably } from './durably.js';
import { records } from './record-tables.js';

/** A person as stored; hashes in the PHC string format. */
export interface PersonRow {
  readonly id: string;
  readonly name: string;
  /** Unique: the same for names that look alike. */
  readonly nameKey: string;
  readonly role: string;
  readonly passwordHash: string;
  readonly pinHash: string | null;
  readonly active: boolean;
  readonly createdAtMs: number;
}

export interface PersonRecords {
  /** Adds a person, or puts the row in the place of the one with this id. */
  readonly put: (person: PersonRow) => void;
  readonly byId: (id: string) => PersonRow | undefined;
  readonly byNameKey: (nameKey: string) => PersonRow | undefined;
  /** By name. */
  readonly all: () => readonly PersonRow[];
  /** Whether the person has been right from this address since `sinceMs`. */
  readonly isFamiliar: (personId: string, address: string, sinceMs: number) => boolean;
  /** Whether anybody has been right from this address since `sinceMs`. */
  readonly isKnownAddress: (address: string, sinceMs: number) => boolean;
  /** Notes an address where the person was right; the most recent `keep` of them are kept. */
  readonly noteAddress: (personId: string, address: string, atMs: number, keep: number) => void;
}

interface StoredPerson {
  readonly id: string;
  readonly name: string;
  readonly name_key: string;
  readonly role: string;
  readonly password_hash: string;
  readonly pin_hash: string | null;
  readonly active: number;
  readonly created_at_ms: number;
}

const rowOf = (stored: StoredPerson): PersonRow => ({
  id: stored.id,
  name: stored.name,
  nameKey: stored.name_key,
  role: stored.role,
  passwordHash: stored.password_hash,
  pinHash: stored.pin_hash,
  active: stored.active === 1,
  createdAtMs: stored.created_at_ms,
});

/** The people on the open connection. */
export function createPersonRecords(connection: Connection): PersonRecords {
  const put = connection.prepare(`
    INSERT INTO person (id, name, name_key, role, password_hash, pin_hash, active, created_at_ms) VALUES (?, ?, ?, ?, ?, ?, ?, ?)
    ON CONFLICT (id) DO UPDATE SET name = excluded.name, name_key = excluded.name_key, role = excluded.role,
      password_hash = excluded.password_hash, pin_hash = excluded.pin_hash, active = excluded.active`);
  const familiar = connection.prepare(
    'SELECT 1 FROM familiar_address WHERE person_id = ? AND address = ? AND last_at_ms >= ?',
  );
  const known = connection.prepare(
    'SELECT 1 FROM familiar_address WHERE address = ? AND last_at_ms >= ? LIMIT 1',
  );
  const note = connection.prepare('INSERT OR REPLACE INTO familiar_address VALUES (?, ?, ?)');
  const forget = connection.prepare(`
    DELETE FROM familiar_address WHERE person_id = ? AND address NOT IN
      (SELECT address FROM familiar_address WHERE person_id = ? ORDER BY last_at_ms DESC LIMIT ?)`);
  const people = () => records.selectFrom('person').selectAll();
  return {
    put: (person) =>
      durably(connection, () => {
        put.run(
          person.id,
          person.name,
          person.nameKey,
          person.role,
          person.passwordHash,
          person.pinHash,
          person.active ? 1 : 0,
          person.createdAtMs,
        );
      }),
    byId: (id) => connection.all(people().where('id', '=', id).compile()).map(rowOf)[0],
    byNameKey: (nameKey) => connection.all(people().where('name_key', '=', nameKey).compile()).map(rowOf)[0],
    all: () => connection.all(people().orderBy('name_key').compile()).map(rowOf),
    isFamiliar: (personId, address, sinceMs) =>
      connection.guard(() => familiar.get(personId, address, sinceMs) !== undefined),
    isKnownAddress: (address, sinceMs) => connection.guard(() => known.get(address, sinceMs) !== undefined),
    noteAddress: (personId, address, atMs, keep) =>
      connection.transaction(() => {
        note.run(personId, address, atMs);
        forget.run(personId, personId, keep);
      }),
  };
}
