import {
  type Action,
  actionsOf,
  openViewingActions,
  type Role,
  rolesFor,
} from '../../libs/access/src/index.js';
import type {
  ActingPerson,
  AuditBody,
  AuditEntry,
  FirstAdministratorRequest,
  KeyView,
  NewKeyRequest,
  NewPersonRequest,
  OwnPasswordRequest,
  OwnPinRequest,
  PersonChangeRequest,
  PersonView,
  SessionBody,
  SignInRequest,
} from '@edge-margin/monitoring';
import { fixtureNowMs } from '../../apps/console/src/fixtures/station-fixtures.js';

/** An invented person with secrets in plain words: this door stands in for the real one where the pages themselves are tested. */
export interface FakePerson {
  readonly name: string;
  readonly role: Role;
  readonly password: string;
  readonly pin?: string;
}

export interface FakeDoorSetup {
  readonly openViewing?: boolean;
  readonly people?: readonly FakePerson[];
  readonly demo?: boolean;
  readonly needsFirstAdministrator?: boolean;
  readonly audit?: readonly AuditEntry[];
  /** Everybody who opens a page is this person from the start. */
  readonly signedInAs?: string;
}

export interface FakeRequest {
  readonly method: string;
  readonly path: string;
  readonly token: string | undefined;
  readonly cookie: string | undefined;
  readonly body: unknown;
  readonly query: URLSearchParams;
}
export interface FakeAnswer {
  readonly status: number;
  readonly body?: unknown;
  readonly headers?: Readonly<Record<string, string>>;
}

export interface FakeDoor {
  /** Null where the path is none of the door's. */
  readonly answer: (request: FakeRequest) => FakeAnswer | null;
  /** 401 or 403 where the session may not do it; else null. */
  readonly refusal: (request: FakeRequest, action: Action) => FakeAnswer | null;
  /** Who acknowledges, or the refusal. */
  readonly acting: (request: FakeRequest, acting: ActingPerson | undefined) => string | FakeAnswer;
  /** Every changing request, with the word that it carried. */
  readonly changes: FakeRequest[];
  readonly endSessions: () => void;
  /** From now on every sign-in and every acting is refused for so long; null takes it back. */
  readonly slowDown: (retryAfterS: number | null) => void;
  readonly people: () => readonly PersonView[];
}

export const fakePeople: readonly FakePerson[] = [
  { name: 'Ada Admin', role: 'administrator', password: 'administrator words' },
  { name: 'Eve Engineer', role: 'engineer', password: 'engineer words', pin: '1357' },
  { name: 'Kim Example', role: 'operator', password: 'operator words', pin: '2468' },
  { name: 'Lou Example', role: 'operator', password: 'more operator words', pin: '8642' },
  { name: 'Mo Maintenance', role: 'maintenance', password: 'maintenance words' },
  { name: 'Vic Viewer', role: 'viewer', password: 'viewer words' },
];

interface Known extends PersonView {
  readonly password: string;
  readonly pin: string | null;
}

export function fakeDoor(setup: FakeDoorSetup = {}): FakeDoor {
  const { openViewing = true } = setup;
  let people: readonly Known[] = (setup.people ?? fakePeople).map((person, at) => ({
    id: `p${at}`,
    name: person.name,
    role: person.role,
    hasPin: person.pin !== undefined,
    active: true,
    createdAtMs: fixtureNowMs - 86_400_000,
    password: person.password,
    pin: person.pin ?? null,
  }));
  let needsFirst = setup.needsFirstAdministrator ?? false;
  let keys: readonly KeyView[] = [];
  let retryAfterS: number | null = null;
  let sessions = new Map<string, string>();
  let sessionCount = 0;
  /** Who never signed in is this person; sessions that were ended do not come back by themselves. */
  let always = setup.signedInAs;
  const changes: FakeRequest[] = [];

  const view = ({ id, name, role, hasPin, active, createdAtMs }: Known): PersonView => ({
    id,
    name,
    role,
    hasPin,
    active,
    createdAtMs,
  });
  const personOf = ({ cookie }: FakeRequest): Known | undefined => {
    const key = /fake-session=(\w+)/.exec(cookie ?? '')?.[1] ?? '';
    const name = sessions.get(key) ?? always;
    return people.find((person) => person.name === name && person.active);
  };
  const session = (person: Known | undefined): SessionBody => ({
    person: person === undefined ? null : view(person),
    may: person === undefined ? (openViewing ? openViewingActions : []) : actionsOf(person.role),
    csrfToken: person === undefined ? null : `word-of-${person.id}`,
    expiresAtMs: person === undefined ? null : Date.now() + 3_600_000,
    openViewing,
    needsFirstAdministrator: needsFirst,
    demoPeople:
      setup.demo === true ? people.map(({ name, role, password }) => ({ name, role, password })) : null,
  });
  const opened = (person: Known): FakeAnswer => {
    sessionCount += 1;
    sessions.set(`s${sessionCount}`, person.name);
    return {
      status: 200,
      body: session(person),
      headers: { 'set-cookie': `fake-session=s${sessionCount}; HttpOnly; SameSite=Strict; Path=/` },
    };
  };
  const slow = (): FakeAnswer | null =>
    retryAfterS === null
      ? null
      : { ...problem(429, 'too many attempts'), headers: { 'retry-after': String(retryAfterS) } };
  const refusal = (request: FakeRequest, action: Action): FakeAnswer | null => {
    const person = personOf(request);
    if (session(person).may.includes(action)) return null;
    return person === undefined
      ? problem(401, 'nobody is signed in')
      : problem(403, `the role ${person.role} may not do this`);
  };
  const withToken = (request: FakeRequest): FakeAnswer | null => {
    const person = personOf(request);
    if (person === undefined || request.token === `word-of-${person.id}`) return null;
    return problem(403, 'the word of the session is missing');
  };

  const signIn = (request: FakeRequest): FakeAnswer => {
    const { name, password } = request.body as SignInRequest;
    const person = people.find((known) => known.name === name && known.password === password && known.active);
    return slow() ?? (person === undefined ? problem(401, 'name or password is wrong') : opened(person));
  };
  const own = (request: FakeRequest): FakeAnswer => {
    const person = personOf(request);
    if (person === undefined) return problem(401, 'nobody is signed in');
    const body = request.body as OwnPasswordRequest & OwnPinRequest;
    if (body.password !== person.password) return problem(403, 'the present password is wrong');
    if (request.path === '/api/session/password') {
      if (body.newPassword.length < 12)
        return problem(400, 'newPassword: at least 12 characters', [
          { pointer: '/newPassword', detail: 'at least 12 characters' },
        ]);
      people = people.map((known) => (known === person ? { ...person, password: body.newPassword } : known));
    } else
      people = people.map((known) =>
        known === person ? { ...person, pin: body.newPin, hasPin: body.newPin !== null } : known,
      );
    return { status: 200, body: session(people.find(({ id }) => id === person.id)) };
  };
  const first = (request: FakeRequest): FakeAnswer => {
    const { name, password, word } = request.body as FirstAdministratorRequest;
    if (!needsFirst || word !== 'once-only') return problem(401, 'the one-time word is wrong or has ended');
    needsFirst = false;
    const person: Known = {
      id: 'first',
      name,
      role: 'administrator',
      hasPin: false,
      active: true,
      createdAtMs: fixtureNowMs,
      password,
      pin: null,
    };
    people = [...people, person];
    return opened(person);
  };
  const managed = (request: FakeRequest): FakeAnswer => {
    const { method, path, body } = request;
    const id = path.split('/')[3];
    if (method === 'GET') return { status: 200, body: { people: people.map(view) } };
    if (method === 'POST') {
      const { name, role, password } = body as NewPersonRequest;
      if (people.some((person) => person.name === name)) return problem(409, `there is a ${name} already`);
      if (password.length < 12)
        return problem(400, 'password: at least 12 characters', [
          { pointer: '/password', detail: 'at least 12 characters' },
        ]);
      const person: Known = {
        id: `p${people.length}`,
        name,
        role,
        hasPin: false,
        active: true,
        createdAtMs: fixtureNowMs,
        password,
        pin: null,
      };
      people = [...people, person];
      return { status: 201, body: { person: view(person) } };
    }
    const change = body as PersonChangeRequest;
    people = people.map((person) => (person.id === id ? { ...person, ...change } : person));
    const person = people.find((known) => known.id === id);
    return person === undefined
      ? problem(404, 'no such person')
      : { status: 200, body: { person: view(person) } };
  };
  const keyed = ({ body, method, path }: FakeRequest): FakeAnswer => {
    if (method === 'GET') return { status: 200, body: { keys } };
    if (method === 'DELETE') {
      keys = keys.filter(({ id }) => id !== path.split('/')[3]);
      return { status: 204 };
    }
    const { actions, label, validDays } = body as NewKeyRequest;
    if (!(validDays >= 1 && validDays <= 366))
      return problem(400, 'validDays: 1 to 366', [{ pointer: '/validDays', detail: '1 to 366' }]);
    const made: KeyView = {
      id: `k${keys.length}`,
      label,
      beginsWith: 'em_inven',
      actions,
      createdAtMs: Date.now(),
      expiresAtMs: Date.now() + validDays * 86_400_000,
      lastUsedAtMs: null,
    };
    keys = [...keys, made];
    return { status: 201, body: { key: 'em_inventedkeythatopensnothing', view: made } };
  };

  const answer = (request: FakeRequest): FakeAnswer | null => {
    const { method, path } = request;
    if (method !== 'GET') changes.push(request);
    if (path === '/api/session') {
      if (method === 'GET') return { status: 200, body: session(personOf(request)) };
      if (method === 'POST') return signIn(request);
      sessions = new Map();
      always = undefined;
      return { status: 200, body: session(undefined) };
    }
    if (path === '/api/first-administrator') return first(request);
    if (path === '/api/people/names') {
      const names = people
        .filter(({ active, role }) => active && rolesFor('acknowledge-alarm').includes(role))
        .map(({ name }) => name);
      return { status: 200, body: { names } };
    }
    const token = method === 'GET' ? null : withToken(request);
    if (path.startsWith('/api/session/')) return token ?? own(request);
    if (path.startsWith('/api/people')) return refusal(request, 'manage-people') ?? token ?? managed(request);
    if (path.startsWith('/api/keys')) return refusal(request, 'manage-keys') ?? token ?? keyed(request);
    if (path === '/api/audit')
      return (
        refusal(request, 'view-audit') ?? { status: 200, body: auditPage(setup.audit ?? [], request.query) }
      );
    return null;
  };

  return {
    answer,
    refusal,
    acting: (request, acting) => {
      const person = personOf(request);
      if (person !== undefined)
        return refusal(request, 'acknowledge-alarm') ?? withToken(request) ?? person.name;
      if (acting === undefined) return problem(401, 'it is not said who acts');
      const found = people.find(
        ({ name, password, pin }) =>
          name === acting.name && (acting.secret === password || acting.secret === pin),
      );
      return slow() ?? found?.name ?? problem(401, 'name, PIN or password is wrong');
    },
    changes,
    endSessions: () => {
      sessions = new Map();
      always = undefined;
    },
    slowDown: (seconds) => (retryAfterS = seconds),
    people: () => people.map(view),
  };
}

/** A page of the audit, newest first, as the service gives it. */
function auditPage(entries: readonly AuditEntry[], query: URLSearchParams): AuditBody {
  const limit = Number(query.get('limit'));
  const before = Number(query.get('before')?.split('-')[1] ?? Infinity);
  const found = entries.filter(({ id }) => id < before);
  const page = found.slice(0, limit);
  const last = page.at(-1);
  return {
    entries: page,
    olderBefore: found.length > limit && last !== undefined ? `${last.atMs}-${last.id}` : null,
  };
}

export function problem(
  status: number,
  detail: string,
  errors?: readonly { readonly pointer: string; readonly detail: string }[],
): FakeAnswer {
  return { status, body: { type: 'about:blank', title: 'Refused', status, detail, errors } };
}
