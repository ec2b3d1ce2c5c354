import type { AuditRecords, DoorRecords } from '@edge-margin/store-sqlite';
import { randomUUID } from 'node:crypto';
import { performance } from 'node:perf_hooks';
import type { Logger } from 'pino';
import type { DoorSettings } from '../settings/door-settings.js';
import { attemptBook } from './attempt-book.js';
import { type AuditLog, auditLog } from './audit-log.js';
import { type DemoPeople, makeDemoPeople } from './demo-people.js';
import { type FirstWord, firstWord } from './first-word.js';
import { type Keys, keys } from './keys.js';
import { passwordHashes } from './password-hashes.js';
import { type People, people } from './people.js';
import { type Proofs, proofs } from './proofs.js';
import { type Sessions, sessions } from './sessions.js';

/** Everything that decides who comes in. */
export interface Door {
  readonly people: People;
  readonly sessions: Sessions;
  readonly keys: Keys;
  readonly proofs: Proofs;
  readonly audit: AuditLog;
  readonly auditEntries: AuditRecords['query'];
  readonly firstWord: FirstWord;
  readonly demoPeople: DemoPeople | null;
  readonly openViewing: boolean;
  readonly behindProxy: boolean;
  readonly keepHouse: () => void;
}

export interface DoorParts {
  readonly records: DoorRecords;
  readonly settings: DoorSettings;
  readonly openViewing: boolean;
  readonly behindProxy: boolean;
  readonly isDemo: boolean;
  readonly log: Logger;
  readonly now: () => number;
  /** How long the audit is kept, ms, and what its age is measured from. */
  readonly auditKeptMs: number;
  readonly knownTime: () => number;
}

/** Opens the door: with its people in the demonstration, with a one-time word where nobody could come in yet. */
export async function openDoor(parts: DoorParts): Promise<Door> {
  const { records, now } = parts;
  const hashes = await passwordHashes();
  const everybody = people({ records: records.people, hashes, now, newId: randomUUID });
  const demoPeople = parts.isDemo ? await makeDemoPeople(everybody) : null;
  const audit = auditLog({
    records: records.audit,
    log: parts.log,
    now,
    keptMs: parts.auditKeptMs,
    knownTime: parts.knownTime,
  });
  const signedIn = sessions({ records: records.sessions, people: everybody, rule: parts.settings, now });
  return {
    people: everybody,
    sessions: signedIn,
    keys: keys({ records: records.keys, now, newId: randomUUID }),
    proofs: proofs({ records: records.people, hashes, book: attemptBook(() => performance.now()), now }),
    audit,
    auditEntries: records.audit.query,
    firstWord: firstWord(everybody.hasAdministrator()),
    demoPeople,
    openViewing: parts.openViewing,
    behindProxy: parts.behindProxy,
    keepHouse: () => {
      signedIn.keepHouse();
      audit.keepHouse();
    },
  };
}
