import { isPin, nameKey } from '@edge-margin/access';
import type { PersonRecords } from '@edge-margin/store-sqlite';
import type { AttemptBook } from './attempt-book.js';
import type { PasswordHashes } from './password-hashes.js';
import { type Person, roleOf } from './people.js';

/** A name with what shall prove it. */
export interface Claim {
  readonly name: string;
  readonly secret: string;
  readonly address: string;
  /** A PIN confirms single actions; it opens no session. */
  readonly accepts: 'password' | 'password or PIN';
}

export type Proof =
  | { readonly ok: true; readonly person: Person }
  | {
      readonly ok: false;
      /** `pin-rests`: after too many wrong PINs here only the password is taken. */
      readonly because: 'wrong' | 'wait' | 'pin-rests';
      readonly waitMs: number;
      /** The person whose name was given, where there is one. */
      readonly name: string | null;
    };

/** Finds out whether people are who they say, with everything that keeps guessing slow and the plant able to act. */
export interface Proofs {
  readonly prove: (claim: Claim) => Promise<Proof>;
}

/** An address is familiar for this long after the person was right there. */
const familiarForMs = 90 * 86_400_000;
const familiarAddresses = 20;
const queueWaitMs = 2000;

export function proofs(parts: {
  readonly records: PersonRecords;
  readonly hashes: PasswordHashes;
  readonly book: AttemptBook;
  readonly now: () => number;
}): Proofs {
  const { records, hashes, book, now } = parts;
  return {
    prove: async ({ name, secret, address, accepts }) => {
      const key = nameKey(name);
      const row = records.byNameKey(key);
      const by = accepts === 'password or PIN' && isPin(secret) ? 'pin' : 'password';
      const isFamiliar = row !== undefined && records.isFamiliar(row.id, address, now() - familiarForMs);
      const isKnownAddress = isFamiliar || records.isKnownAddress(address, now() - familiarForMs);
      const lane = isFamiliar ? 'familiar' : 'unfamiliar';
      const attempt = { nameKey: key, address, familiarity: lane, isKnownAddress, by } as const;
      const refuse = (because: 'wrong' | 'wait' | 'pin-rests', waitMs = 0): Proof => ({
        ok: false,
        because,
        waitMs,
        name: row?.name ?? null,
      });
      if (!hashes.hasRoom(lane, address)) return refuse('wait', queueWaitMs);
      const admission = book.admit(attempt);
      if (admission.kind === 'wait') return refuse('wait', admission.waitMs);
      if (admission.kind === 'pin-rests') return refuse('pin-rests');
      book.begin(attempt);
      const stored = row?.active === true ? (by === 'pin' ? row.pinHash : row.passwordHash) : null;
      const isRight = await hashes.matches(stored, secret, { lane, address });
      // Read again: the person may have been changed while the hash was computed.
      const after = row === undefined ? undefined : records.byId(row.id);
      const role = after === undefined ? undefined : roleOf(after);
      const isStill =
        after?.active === true && (by === 'pin' ? after.pinHash : after.passwordHash) === stored;
      if (!isRight || !isStill || role === undefined) return refuse('wrong');
      book.succeed(attempt);
      noteAddress(records, after.id, address, now());
      return { ok: true, person: { id: after.id, name: after.name, role } };
    },
  };
}

function noteAddress(records: PersonRecords, personId: string, address: string, atMs: number): void {
  try {
    records.noteAddress(personId, address, atMs, familiarAddresses);
  } catch {
    // A full disk keeps nobody out; the address stays unfamiliar.
  }
}
