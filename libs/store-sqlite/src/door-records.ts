import { type AuditRecords, createAuditRecords } from './audit-records.js';
import type { Connection } from './connection.js';
import { createKeyRecords, type KeyRecords } from './key-records.js';
import { createPersonRecords, type PersonRecords } from './person-records.js';
import { createSessionRecords, type SessionRecords } from './session-records.js';

/** Who may come in, who is in, and what happened at the door. */
export interface DoorRecords {
  readonly people: PersonRecords;
  readonly sessions: SessionRecords;
  readonly keys: KeyRecords;
  readonly audit: AuditRecords;
}

/** The door's records on the open connection. */
export function createDoorRecords(connection: Connection): DoorRecords {
  return {
    people: createPersonRecords(connection),
    sessions: createSessionRecords(connection),
    keys: createKeyRecords(connection),
    audit: createAuditRecords(connection),
  };
}
