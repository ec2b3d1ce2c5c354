import { may, nameKey, type Role, roles } from '@edge-margin/access';
import type { PersonView } from '@edge-margin/monitoring';
import type { PersonRecords, PersonRow } from '@edge-margin/store-sqlite';
import type { PasswordHashes } from './password-hashes.js';

/** A person as the rest of the door knows them. */
export interface Person {
  readonly id: string;
  readonly name: string;
  readonly role: Role;
}

export interface NewPerson {
  readonly name: string;
  readonly role: Role;
  readonly password: string;
}

export interface PersonChange {
  readonly role?: Role | undefined;
  readonly active?: boolean | undefined;
  readonly password?: string | undefined;
}

/** Why people cannot be changed so. */
export type PeopleRefusal = 'name-taken' | 'unknown' | 'last-administrator';
export type Changed =
  | { readonly ok: true; readonly person: PersonView }
  | { readonly ok: false; readonly because: PeopleRefusal };

export interface People {
  readonly all: () => readonly PersonView[];
  readonly byId: (id: string) => Person | undefined;
  readonly view: (id: string) => PersonView | undefined;
  readonly hasName: (name: string) => boolean;
  /** Whether an administrator can come in. */
  readonly hasAdministrator: () => boolean;
  readonly add: (person: NewPerson) => Promise<Changed>;
  readonly change: (id: string, change: PersonChange) => Promise<Changed>;
  readonly setPassword: (id: string, password: string) => Promise<void>;
  readonly setPin: (id: string, pin: string | null) => Promise<void>;
}

export interface PeopleParts {
  readonly records: PersonRecords;
  readonly hashes: PasswordHashes;
  readonly now: () => number;
  readonly newId: () => string;
}

/** The role that the store holds; one of a newer service may do nothing here. */
export function roleOf(row: PersonRow): Role | undefined {
  return roles.find((role) => role === row.role);
}

export function people({ records, hashes, now, newId }: PeopleParts): People {
  const administrators = (): readonly PersonRow[] =>
    records.all().filter((row) => row.active && may(roleOf(row) ?? 'viewer', 'manage-people'));
  const update = (id: string, change: (row: PersonRow) => PersonRow): void => {
    const row = records.byId(id);
    if (row !== undefined) records.put(change(row));
  };
  /** Read again after each hash: meanwhile the world went on. */
  const refusalOf = (id: string, change: PersonChange): PeopleRefusal | undefined => {
    const row = records.byId(id);
    if (row === undefined) return 'unknown';
    const after = { ...row, role: change.role ?? row.role, active: change.active ?? row.active };
    const staysAdministrator = after.active && may(roleOf(after) ?? 'viewer', 'manage-people');
    const isLast = administrators().every((other) => other.id === id) && administrators().length > 0;
    return isLast && !staysAdministrator ? 'last-administrator' : undefined;
  };
  return {
    all: () => records.all().map(viewOf),
    byId: (id) => {
      const row = records.byId(id);
      const role = row === undefined ? undefined : roleOf(row);
      return row?.active === true && role !== undefined ? { id, name: row.name, role } : undefined;
    },
    view: (id) => {
      const row = records.byId(id);
      return row === undefined ? undefined : viewOf(row);
    },
    hasName: (name) => records.byNameKey(nameKey(name)) !== undefined,
    hasAdministrator: () => administrators().length > 0,
    add: async ({ name, role, password }) => {
      const passwordHash = await hashes.make(password);
      const key = nameKey(name);
      if (records.byNameKey(key) !== undefined) return { ok: false, because: 'name-taken' };
      const row = {
        id: newId(),
        name,
        nameKey: key,
        role,
        passwordHash,
        pinHash: null,
        active: true,
        createdAtMs: now(),
      };
      records.put(row);
      return { ok: true, person: viewOf(row) };
    },
    change: async (id, change) => {
      const passwordHash = change.password === undefined ? undefined : await hashes.make(change.password);
      const because = refusalOf(id, change);
      if (because !== undefined) return { ok: false, because };
      update(id, (row) => ({
        ...row,
        role: change.role ?? row.role,
        active: change.active ?? row.active,
        // A password that somebody else sets takes the PIN along: who had one may have known both.
        ...(passwordHash === undefined ? {} : { passwordHash, pinHash: null }),
      }));
      const row = records.byId(id);
      return row === undefined ? { ok: false, because: 'unknown' } : { ok: true, person: viewOf(row) };
    },
    setPassword: async (id, password) => {
      const passwordHash = await hashes.make(password);
      update(id, (row) => ({ ...row, passwordHash }));
    },
    setPin: async (id, pin) => {
      const pinHash = pin === null ? null : await hashes.make(pin);
      update(id, (row) => ({ ...row, pinHash }));
    },
  };
}

function viewOf(row: PersonRow): PersonView {
  return {
    id: row.id,
    name: row.name,
    role: roleOf(row) ?? 'viewer',
    hasPin: row.pinHash !== null,
    active: row.active,
    createdAtMs: row.createdAtMs,
  };
}
