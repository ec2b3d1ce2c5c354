import type { Action, Role } from '@edge-margin/access';

/** Bodies of the door: who is signed in, people, keys and the audit. Instants are epoch ms. */

/** GET /api/session, and the answer to everything that changes it. Always answered, also to nobody. */
export interface SessionBody {
  readonly person: PersonView | null;
  /** What may be done now: by the person, or by anybody where nobody is signed in. */
  readonly may: readonly Action[];
  /** To be sent back as the header `X-CSRF-Token` with every request that changes something; null where nobody is signed in. */
  readonly csrfToken: string | null;
  readonly expiresAtMs: number | null;
  /** Whether this screen may look without a sign-in. */
  readonly openViewing: boolean;
  /** True until the first administrator exists. */
  readonly needsFirstAdministrator: boolean;
  /** In the demonstration: people to sign in as, with their passwords; null elsewhere. */
  readonly demoPeople:
    readonly { readonly name: string; readonly role: Role; readonly password: string }[] | null;
}

/** POST /api/session. 401 where name or password is wrong; 429 with Retry-After where too many were. DELETE /api/session signs out. */
export interface SignInRequest {
  readonly name: string;
  readonly password: string;
}

/** POST /api/first-administrator, with the one-time word from the log. */
export interface FirstAdministratorRequest {
  readonly word: string;
  readonly name: string;
  readonly password: string;
}

export interface PersonView {
  readonly id: string;
  readonly name: string;
  readonly role: Role;
  /** Whether a PIN is set, which confirms single actions at a shared screen. */
  readonly hasPin: boolean;
  readonly active: boolean;
  readonly createdAtMs: number;
}

/** GET /api/people */
export interface PeopleBody {
  readonly people: readonly PersonView[];
}
/** POST /api/people: answers a PersonBody. */
export interface NewPersonRequest {
  readonly name: string;
  readonly role: Role;
  readonly password: string;
}
/** PATCH /api/people/{id}: what is left out stays. Ends the person's sessions where the password, the role or `active` changes. */
export interface PersonChangeRequest {
  readonly role?: Role;
  readonly active?: boolean;
  readonly password?: string;
}
export interface PersonBody {
  readonly person: PersonView;
}

/** PUT /api/session/password and PUT /api/session/pin: one's own; the present password must be given with it. */
export interface OwnPasswordRequest {
  readonly password: string;
  readonly newPassword: string;
}
export interface OwnPinRequest {
  readonly password: string;
  /** Four to eight digits; null takes the PIN away. */
  readonly newPin: string | null;
}

/** Part of the body of an action at a shared screen where nobody is signed in: who acts, with the PIN or the password. */
export interface ActingPerson {
  readonly name: string;
  readonly secret: string;
}

/** GET /api/people/names: for the choice of who acts at a shared screen; active people whose role may act, names only. */
export interface ActingNamesBody {
  readonly names: readonly string[];
}

export interface KeyView {
  readonly id: string;
  readonly label: string;
  /** The first characters of the key, to tell keys apart. */
  readonly beginsWith: string;
  readonly actions: readonly Action[];
  readonly createdAtMs: number;
  readonly expiresAtMs: number;
  readonly lastUsedAtMs: number | null;
}
/** GET /api/keys */
export interface KeysBody {
  readonly keys: readonly KeyView[];
}
/** POST /api/keys. DELETE /api/keys/{id} ends one at once. */
export interface NewKeyRequest {
  readonly label: string;
  readonly actions: readonly Action[];
  /** 1 to 366. */
  readonly validDays: number;
}
/** The only time that the key itself is shown. Used as `Authorization: Bearer {key}`. */
export interface NewKeyBody {
  readonly key: string;
  readonly view: KeyView;
}

/** GET /api/audit?from=&to=&limit=&before= , newest first */
export interface AuditBody {
  readonly entries: readonly AuditEntry[];
  /** What to give as `before` for the entries that come next; null where there are none. Entries that are added meanwhile move nothing. */
  readonly olderBefore: string | null;
}
export interface AuditEntry {
  readonly id: number;
  readonly atMs: number;
  /** Name of the person or label of the key; null where it is not known who it was. */
  readonly actor: string | null;
  /** A short word such as `sign-in`, `sign-in-refused`, `person-changed`, `key-made`. */
  readonly what: string;
  /** Whom or what it was done to. */
  readonly subject: string | null;
  readonly from: string | null;
  readonly detail: string | null;
}
