import { isSessionLive, isUseWorthWriting, type SessionRule, sessionEndsAtMs } from '@edge-margin/access';
import type { SessionRecords } from '@edge-margin/store-sqlite';
import { createHash, createHmac, randomBytes } from 'node:crypto';
import { type Observable, Subject } from 'rxjs';
import type { People, Person } from './people.js';

/** A sign-in that counts now. */
export interface Session {
  readonly idHash: string;
  readonly person: Person;
  /** To be sent back with everything that changes something. */
  readonly csrfToken: string;
  readonly expiresAtMs: number;
}

export interface Sessions {
  /** Starts one; the id goes into the cookie and is stored as its hash only. */
  readonly start: (personId: string) => string;
  /** The session of the id, where it counts; its use is written down, at most once a minute. */
  readonly find: (id: string) => Session | undefined;
  /** Whether it counts, without using it. */
  readonly isLive: (idHash: string) => boolean;
  readonly end: (idHash: string) => void;
  readonly endAllOf: (personId: string) => void;
  /** Something ended: look again whether yours did. */
  readonly ended: () => Observable<void>;
  readonly keepHouse: () => void;
}

/** Of one person; the oldest gives way. */
const mostPerPerson = 20;

/** SHA-256: the id is 256 random bits, which nobody guesses, so a slow hash would protect nothing more. */
export function hashOfRandom(secret: string): string {
  return createHash('sha256').update(secret).digest('base64url');
}

export function sessions(parts: {
  readonly records: SessionRecords;
  readonly people: People;
  readonly rule: SessionRule;
  readonly now: () => number;
}): Sessions {
  const { records, people, rule, now } = parts;
  const ended = new Subject<void>();
  const rowOf = (idHash: string) => {
    const row = records.byIdHash(idHash);
    const person = row === undefined ? undefined : people.byId(row.personId);
    if (row === undefined || person === undefined || !isSessionLive(row, rule, now())) return undefined;
    return { row, person };
  };
  const noteUse = (idHash: string): void => {
    try {
      records.noteUse(idHash, now());
    } catch {
      // A full disk ends no session.
    }
  };
  return {
    start: (personId) => {
      const id = randomBytes(32).toString('base64url');
      const atMs = now();
      const row = { idHash: hashOfRandom(id), personId, createdAtMs: atMs, lastUsedAtMs: atMs };
      records.add(row, mostPerPerson);
      return id;
    },
    find: (id) => {
      const idHash = hashOfRandom(id);
      const found = rowOf(idHash);
      if (found === undefined) return undefined;
      if (isUseWorthWriting(found.row.lastUsedAtMs, now())) noteUse(idHash);
      // Made of the id, which only the cookie holds: the stored hash does not tell it, and it ends with the session.
      const csrfToken = createHmac('sha256', id).update('csrf').digest('base64url');
      const expiresAtMs = sessionEndsAtMs({ ...found.row, lastUsedAtMs: now() }, rule);
      return { idHash, person: found.person, csrfToken, expiresAtMs };
    },
    isLive: (idHash) => rowOf(idHash) !== undefined,
    end: (idHash) => {
      records.end(idHash);
      ended.next();
    },
    endAllOf: (personId) => {
      records.endAllOf(personId);
      ended.next();
    },
    ended: () => ended.asObservable(),
    keepHouse: () => records.forget(now() - rule.longestMs, now() - rule.idleMs),
  };
}
