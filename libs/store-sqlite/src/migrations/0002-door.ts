import type { Migration } from './migration.js';

/**
 * Who may come in: people, their sessions and the addresses where they are known, keys of machines, and the audit.
 * Sessions and keys are stored as SHA-256 of 256 random bits: nothing shorter to guess, so a slow hash would add nothing.
 */
export const door: Migration = {
  version: 2,
  sql: `
CREATE TABLE person (
  id TEXT PRIMARY KEY,
  name TEXT NOT NULL,
  name_key TEXT NOT NULL UNIQUE,
  role TEXT NOT NULL,
  password_hash TEXT NOT NULL,
  pin_hash TEXT,
  active INTEGER NOT NULL,
  created_at_ms INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE door_session (
  id_hash TEXT PRIMARY KEY,
  person_id TEXT NOT NULL,
  created_at_ms INTEGER NOT NULL,
  last_used_at_ms INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX door_session_by_person ON door_session (person_id, created_at_ms);

CREATE TABLE familiar_address (
  person_id TEXT NOT NULL,
  address TEXT NOT NULL,
  last_at_ms INTEGER NOT NULL,
  PRIMARY KEY (person_id, address)
) STRICT, WITHOUT ROWID;

CREATE INDEX familiar_address_by_address ON familiar_address (address, last_at_ms);

CREATE TABLE api_key (
  id TEXT PRIMARY KEY,
  label TEXT NOT NULL,
  label_key TEXT NOT NULL UNIQUE,
  begins_with TEXT NOT NULL,
  key_hash TEXT NOT NULL UNIQUE,
  actions TEXT NOT NULL,
  created_at_ms INTEGER NOT NULL,
  expires_at_ms INTEGER NOT NULL,
  last_used_at_ms INTEGER
) STRICT, WITHOUT ROWID;

CREATE TABLE audit (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  at_ms INTEGER NOT NULL,
  actor TEXT,
  what TEXT NOT NULL,
  subject TEXT,
  from_address TEXT,
  detail TEXT
) STRICT;
CREATE INDEX audit_by_time ON audit (at_ms, id);
`,
};
