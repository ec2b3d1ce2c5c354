import { type Action, actions, keyActions, may, type Role, roles, rolesFor } from '@edge-margin/access';
import type { AuditBody, KeysBody, PeopleBody, SessionBody } from '@edge-margin/monitoring';
import Database from 'better-sqlite3';
import { writeFileSync } from 'node:fs';
import { request } from 'node:http';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { eventually } from './support/eventually.js';
import { filmPlant } from './support/film-winder.js';
import { firstAdministrator, signIn, type SignedIn } from './support/first-administrator.js';
import { makeKey, makePerson } from './support/people.js';
import { dataDirectory, type RunningService, startService } from './support/service.js';

interface Operation {
  readonly 'x-action'?: Action;
  readonly 'x-allowed-roles'?: readonly string[];
}

const passwordOf = (role: Role): string => `the ${role} knocks twice`;
const nameOf = (role: Role): string => `Test ${role}`;
const nobody: SignedIn = { headers: {} };

/** One request for every action; none of them changes anything. */
const probes: Readonly<Record<Action, { readonly method: string; readonly path: string }>> = {
  view: { method: 'GET', path: '/api/winders' },
  'assess-point': { method: 'POST', path: '/api/assess' },
  'acknowledge-alarm': { method: 'POST', path: '/api/alarms/none/acknowledge' },
  'view-service-health': { method: 'GET', path: '/api/service-health' },
  'view-audit': { method: 'GET', path: '/api/audit' },
  'manage-people': { method: 'GET', path: '/api/people' },
  'manage-keys': { method: 'GET', path: '/api/keys' },
};

describe('the door of a plant', () => {
  const data = dataDirectory();
  const environment = {
    DATA_DIR: join(data.path, 'data'),
    PLANT_FILE: join(data.path, 'plant.yaml'),
    MQTT_URL: 'mqtt://127.0.0.1:1',
    HTTP_OPEN_VIEWING: 'no',
    HTTP_ALLOWED_HOSTS: 'winders.mill.example',
  };
  let service: RunningService;
  let administrator: SignedIn;
  const people = new Map<Role, { readonly id: string; readonly signedIn: SignedIn }>();
  const secrets: string[] = [];
  let earlierOutput = '';

  const ask = (who: SignedIn, method: string, path: string, body?: unknown): Promise<Response> =>
    fetch(service.url + path, {
      method,
      headers: { ...who.headers, ...(body === undefined ? {} : { 'content-type': 'application/json' }) },
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    });
  const probe = async (who: SignedIn, action: Action): Promise<number> => {
    const { method, path } = probes[action];
    return (await ask(who, method, path, method === 'GET' ? undefined : { nonsense: 1 })).status;
  };
  const session = async (who: SignedIn): Promise<SessionBody> =>
    (await ask(who, 'GET', '/api/session')).json();
  const restart = async (between: (database: Database.Database) => void): Promise<void> => {
    await service.stop();
    earlierOutput += service.output();
    const database = new Database(join(environment.DATA_DIR, 'store.sqlite'));
    between(database);
    database.close();
    service = await startService(environment);
  };

  beforeAll(async () => {
    writeFileSync(environment.PLANT_FILE, filmPlant);
    service = await startService(environment);
  });

  afterAll(async () => {
    await service.stop();
    data.remove();
  });

  it('has no administrator and no default secret at first, but a word in the log that makes one, once', async () => {
    const before = await session(nobody);
    expect(before).toMatchObject({ person: null, may: [], csrfToken: null, openViewing: false });
    expect(before).toMatchObject({ needsFirstAdministrator: true, demoPeople: null });
    for (const [name, password] of [
      ['admin', 'admin'],
      ['administrator', 'administrator'],
      ['root', ''],
    ])
      expect([400, 401]).toContain((await ask(nobody, 'POST', '/api/session', { name, password })).status);
    const wanted = { name: 'Ada <b>Admin</b>', password: 'one word to begin with' };
    const wrong = await ask(nobody, 'POST', '/api/first-administrator', { ...wanted, word: 'x'.repeat(22) });
    expect(wrong.status).toBe(403);
    expect((await wrong.json()).errors[0].pointer).toBe('/word');
    administrator = await firstAdministrator(service, wanted.name, wanted.password);
    secrets.push(wanted.password);
    const word = /#word=(\S+)/.exec(service.output())?.[1];
    expect(word?.length).toBeGreaterThanOrEqual(22);
    const again = await ask(nobody, 'POST', '/api/first-administrator', { ...wanted, name: 'Eve', word });
    expect(again.status).toBe(409);
    expect(await session(administrator)).toMatchObject({
      person: { name: 'Ada <b>Admin</b>', role: 'administrator', hasPin: false, active: true },
      needsFirstAdministrator: false,
    });
  });

  it('lets the administrator make people, whom it stores without their passwords', async () => {
    for (const role of roles) {
      const person = { name: nameOf(role), role, password: passwordOf(role) };
      const id = await makePerson(service, administrator, person);
      people.set(role, { id, signedIn: await signIn(service, person.name, person.password) });
      secrets.push(person.password);
    }
    const listed = (await (await ask(administrator, 'GET', '/api/people')).json()) as PeopleBody;
    expect(listed.people.map(({ role }) => role).sort()).toEqual([...roles, 'administrator'].sort());
  });

  it.each(roles.flatMap((role) => actions.map((action) => [role, action] as const)))(
    'lets the role %s do %s exactly where the table says so',
    async (role, action) => {
      const status = await probe(people.get(role)!.signedIn, action);
      if (may(role, action)) expect([200, 400, 404]).toContain(status);
      else expect(status).toBe(403);
    },
  );

  it.each(actions)('lets nobody do %s', async (action) => {
    expect(await probe(nobody, action)).toBe(401);
  });

  it('lets a key do what it was made for and nothing else, and makes none that could make keys', async () => {
    for (const action of keyActions) {
      const { headers, key } = await makeKey(service, administrator, `For ${action}`, [action]);
      secrets.push(key);
      for (const other of actions) {
        const status = await probe({ headers }, other);
        if (other === action) expect([200, 400, 404], `${action} ${other}`).toContain(status);
        else expect(status, `${action} ${other}`).toBe(403);
      }
    }
    for (const action of actions.filter((one) => !keyActions.includes(one))) {
      const wanted = { label: 'Too much', actions: [action], validDays: 1 };
      expect((await ask(administrator, 'POST', '/api/keys', wanted)).status, action).toBe(400);
    }
  });

  it('guards every route that it describes as the description and the table say', async () => {
    const viewer = people.get('viewer')!.signedIn;
    const api = (await (await ask(viewer, 'GET', '/api/openapi.json')).json()) as {
      paths: Record<string, Record<string, Operation>>;
    };
    let guarded = 0;
    for (const [path, operations] of Object.entries(api.paths))
      for (const [method, operation] of Object.entries(operations)) {
        const action = operation['x-action'];
        expect(operation['x-allowed-roles'], `${method} ${path}`).toBeDefined();
        if (action === undefined) continue;
        guarded += 1;
        expect(operation['x-allowed-roles']).toEqual(rolesFor(action));
        for (const role of [...roles, 'nobody'] as const) {
          const who = role === 'nobody' ? nobody : people.get(role)!.signedIn;
          const abort = new AbortController();
          const response = await fetch(service.url + path.replaceAll(/\{\w+\}/g, 'none'), {
            method: method.toUpperCase(),
            headers: { ...who.headers, 'content-type': 'application/json' },
            signal: abort.signal,
            ...(method === 'get' ? {} : { body: '{}' }),
          });
          abort.abort();
          const isRight = role !== 'nobody' && may(role, action);
          const expected = role === 'nobody' ? 401 : 403;
          if (isRight) expect([401, 403], `${role} ${method} ${path}`).not.toContain(response.status);
          else expect(response.status, `${role} ${method} ${path}`).toBe(expected);
        }
      }
    expect(guarded).toBeGreaterThan(18);
  });

  it('asks for its own word with everything that a signed-in browser changes', async () => {
    const { cookie } = administrator.headers;
    const person = { name: 'Mallory', role: 'viewer', password: 'something to get in with' };
    for (const forged of [{ cookie: cookie! }, { cookie: cookie!, 'x-csrf-token': 'x'.repeat(43) }]) {
      const response = await ask({ headers: forged }, 'POST', '/api/people', person);
      expect(response.status).toBe(403);
      expect((await response.json()).detail).toContain('X-CSRF-Token');
    }
    const others = people.get('engineer')!.signedIn.headers['x-csrf-token']!;
    const headers = { cookie: cookie!, 'x-csrf-token': others };
    expect((await ask({ headers }, 'POST', '/api/people', person)).status).toBe(403);
    expect((await ask({ headers: { cookie: cookie! } }, 'DELETE', '/api/session')).status).toBe(403);
    expect(await session(administrator)).toMatchObject({ person: { role: 'administrator' } });
  });

  it('gives cookies that scripts and other sites do not get, and answers that are kept nowhere', async () => {
    const response = await ask(nobody, 'POST', '/api/session', {
      name: nameOf('viewer'),
      password: passwordOf('viewer'),
    });
    const [cookie] = response.headers.getSetCookie();
    expect(cookie).toMatch(/^edge-margin-session=[\w-]{43}; Path=\/; HttpOnly; SameSite=Strict$/);
    expect(response.headers.get('cache-control')).toBe('no-store');
    expect(response.headers.get('strict-transport-security')).toBeNull();
    for (const path of ['/', '/api/winders', '/api/none', '/health/live', '/favicon.svg']) {
      const answer = await ask(nobody, 'GET', path);
      expect(answer.headers.get('content-security-policy'), path).toMatch(
        /default-src 'none'; script-src 'self'; style-src 'self';.*frame-ancestors 'none'/,
      );
      expect(answer.headers.get('x-content-type-options'), path).toBe('nosniff');
      expect(answer.headers.get('referrer-policy'), path).toBe('no-referrer');
      expect(answer.headers.get('permissions-policy'), path).toContain('camera=()');
    }
  });

  it('knows nothing of a session that was signed out, however it is replayed', async () => {
    const stolen = await signIn(service, nameOf('operator'), passwordOf('operator'));
    expect((await session(stolen)).person?.name).toBe(nameOf('operator'));
    expect((await ask(stolen, 'DELETE', '/api/session')).status).toBe(200);
    expect((await session(stolen)).person).toBeNull();
    for (const action of actions) expect(await probe(stolen, action), action).toBe(401);
    expect((await ask(stolen, 'PUT', '/api/session/pin', { password: 'x', newPin: null })).status).toBe(401);
  });

  it('gives a new session id at each sign-in and ends the one that came along', async () => {
    const first = await signIn(service, nameOf('operator'), passwordOf('operator'));
    const response = await ask(first, 'POST', '/api/session', {
      name: nameOf('operator'),
      password: passwordOf('operator'),
    });
    expect(response.headers.getSetCookie()[0]?.split(';')[0]).not.toBe(first.headers['cookie']);
    expect((await session(first)).person).toBeNull();
  });

  it('ends the live stream when its session ends', async () => {
    const watching = await signIn(service, nameOf('operator'), passwordOf('operator'));
    const stream = await fetch(`${service.url}/api/live`, { headers: watching.headers });
    const reader = stream.body!.getReader();
    expect((await reader.read()).done).toBe(false);
    await ask(watching, 'DELETE', '/api/session');
    let isDone = false;
    const drained = (async () => {
      while (!(await reader.read()).done);
      isDone = true;
    })();
    await eventually(() => (isDone ? true : undefined), 'the stream ends', 10_000);
    await drained;
    expect((await fetch(`${service.url}/api/live`, { headers: watching.headers })).status).toBe(401);
  });

  it("ends a person's sessions with a new password, another role, or no leave to come in", async () => {
    const { id } = people.get('maintenance')!;
    const [name, password] = [nameOf('maintenance'), passwordOf('maintenance')];
    for (const change of [{ role: 'operator' }, { password: 'another word to come in' }, { active: false }]) {
      await ask(administrator, 'PATCH', `/api/people/${id}`, { active: true, role: 'maintenance', password });
      const before = await signIn(service, name, password);
      expect((await ask(administrator, 'PATCH', `/api/people/${id}`, change)).status).toBe(200);
      expect((await session(before)).person, JSON.stringify(change)).toBeNull();
    }
    const gone = await ask(nobody, 'POST', '/api/session', { name, password: 'another word to come in' });
    expect(gone.status).toBe(401);
    const same = await ask(administrator, 'PATCH', `/api/people/${id}`, {});
    expect(same.status).toBe(200);
  });

  it("changes one's own password and PIN with the present password only, and ends the other sessions", async () => {
    const [name, password] = [nameOf('engineer'), passwordOf('engineer')];
    const here = await signIn(service, name, password);
    const there = await signIn(service, name, password);
    const put = (path: string, body: object) => ask(here, 'PUT', `/api/session/${path}`, body);
    const wrong = await put('password', { password: 'not this one at all', newPassword: 'a good new word' });
    expect(wrong.status).toBe(400);
    expect((await wrong.json()).errors[0].pointer).toBe('/password');
    const weak = await put('password', { password, newPassword: 'short' });
    expect((await weak.json()).errors[0]).toMatchObject({ pointer: '/newPassword' });
    for (const newPin of ['123', '1234', 'abcd', '0000', '123456789'])
      expect((await put('pin', { password, newPin })).status, newPin).toBe(400);
    const withPin = await put('pin', { password, newPin: '4711' });
    expect(withPin.status).toBe(200);
    expect(((await withPin.json()) as SessionBody).person?.hasPin).toBe(true);
    expect(
      ((await (await put('pin', { password, newPin: null })).json()) as SessionBody).person?.hasPin,
    ).toBe(false);
    const changed = await put('password', { password, newPassword: 'the engineer knocks again' });
    expect(changed.status).toBe(200);
    expect((await session(there)).person).toBeNull();
    expect((await session(here)).person).toBeNull();
    const cookie = changed.headers.getSetCookie()[0]!.split(';')[0]!;
    expect((await session({ headers: { cookie } })).person?.name).toBe(name);
    const old = await ask(nobody, 'POST', '/api/session', { name, password });
    expect(old.status).toBe(401);
    secrets.push('the engineer knocks again', 'not this one at all');
  });

  it('keeps the last administrator', async () => {
    const { people: all } = (await (await ask(administrator, 'GET', '/api/people')).json()) as PeopleBody;
    const [first, second] = all.filter(({ role }) => role === 'administrator');
    expect((await ask(administrator, 'PATCH', `/api/people/${second!.id}`, { active: false })).status).toBe(
      200,
    );
    for (const change of [{ active: false }, { role: 'engineer' }]) {
      const refused = await ask(administrator, 'PATCH', `/api/people/${first!.id}`, change);
      expect(refused.status).toBe(409);
      expect((await refused.json()).detail).toContain('last administrator');
    }
  });

  it.each([
    ['control characters', 'Ro\u0000sa', 'Ro\\u0000sa'],
    ['a line end', 'Ro\nsa', 'Ro\\nsa'],
    ['a turn of direction', 'Ro\u202esa', 'Ro\\u202esa'],
    ['a zero width', 'Ro\u200bsa', 'Ro\\u200bsa'],
    ['half a pair', 'Ro\ud800sa', 'Ro\\ud800sa'],
    ['nothing to see', '   ', '   '],
    ['too much', 'R'.repeat(81), 'RRRR'],
    ['no text at all', 7, '7'],
  ])(
    'refuses names and labels with %s, naming field, value and what is right',
    async (_what, text, shown) => {
      const person = { name: text, role: 'viewer', password: 'something to get in with' };
      const key = { label: text, actions: ['view'], validDays: 1 };
      for (const [path, body, field] of [
        ['/api/people', person, '/name'],
        ['/api/keys', key, '/label'],
      ] as const) {
        const response = await ask(administrator, 'POST', path, body);
        expect(response.status, path).toBe(400);
        const { errors } = await response.json();
        expect(errors[0].pointer).toBe(field);
        expect(errors[0].detail).toContain(shown);
        expect(errors[0].detail).toMatch(/ is right$/);
      }
    },
  );

  it('stores markup in names and labels as it was given', async () => {
    const markup = `<img src=x onerror="alert(1)"> ' -- {{7*7}}`;
    const name = `${markup} 1`;
    await makePerson(service, administrator, { name, role: 'viewer', password: 'something to get in with' });
    await makeKey(service, administrator, `${markup} 2`, ['view']);
    const { people: all } = (await (await ask(administrator, 'GET', '/api/people')).json()) as PeopleBody;
    const { keys } = (await (await ask(administrator, 'GET', '/api/keys')).json()) as KeysBody;
    expect(all.map((person) => person.name)).toContain(name);
    expect(keys.map(({ label }) => label)).toContain(`${markup} 2`);
    const twice = await ask(administrator, 'POST', '/api/people', {
      name: name.toUpperCase(),
      role: 'viewer',
      password: 'something to get in with',
    });
    expect(twice.status).toBe(409);
    const asKey = { label: name, actions: ['view'], validDays: 1 };
    expect((await ask(administrator, 'POST', '/api/keys', asKey)).status).toBe(409);
  });

  it('refuses comments with control characters and fields that there are none of', async () => {
    const { headers } = await makeKey(service, administrator, 'Commenter', ['acknowledge-alarm']);
    const path = '/api/alarms/none/acknowledge';
    const bad = await ask({ headers }, 'POST', path, { occurrenceId: 'x', comment: 'ring \u0007' });
    expect(bad.status).toBe(400);
    expect((await bad.json()).errors[0]).toMatchObject({
      pointer: '/comment',
      detail: expect.stringContaining('ring \\u0007'),
    });
    const actor = await ask({ headers }, 'POST', path, { occurrenceId: 'x', actor: 'Somebody else' });
    expect(actor.status).toBe(400);
    const fine = { occurrenceId: 'x', comment: '<script>alert(1)</script>\nsecond line' };
    expect((await ask({ headers }, 'POST', path, fine)).status).toBe(404);
    const acting = await ask({ headers }, 'POST', path, { ...fine, acting: { name: 'x', secret: 'y' } });
    expect(acting.status).toBe(400);
  });

  it('refuses what is no key, and a key at once when it was ended', async () => {
    const { id, headers } = await makeKey(service, administrator, 'Short-lived', ['view']);
    expect(await probe({ headers }, 'view')).toBe(200);
    const { keys } = (await (await ask(administrator, 'GET', '/api/keys')).json()) as KeysBody;
    const view = keys.find((key) => key.id === id)!;
    expect(headers['authorization']).toContain(`Bearer ${view.beginsWith}`);
    expect(view.lastUsedAtMs).toBeGreaterThan(0);
    expect(JSON.stringify(keys)).not.toContain(headers['authorization']!.slice(7));
    expect((await ask(administrator, 'DELETE', `/api/keys/${id}`)).status).toBe(204);
    expect(await probe({ headers }, 'view')).toBe(401);
    for (const authorization of [
      'Bearer',
      'Bearer x',
      'Basic YTpi',
      `Bearer ${'k'.repeat(5000)}`,
      'Bearer a b',
    ])
      expect(await probe({ headers: { authorization } }, 'view'), authorization.slice(0, 20)).toBe(401);
    expect((await ask(administrator, 'DELETE', '/api/keys/none')).status).toBe(404);
  });

  const raw = (method: string, path: string, headers: Record<string, string>, body = ''): Promise<number> =>
    new Promise((resolve, reject) => {
      const { port } = new URL(service.url);
      const sent = request({ host: '127.0.0.1', port, method, path, headers }, (response) => {
        response.resume();
        resolve(response.statusCode ?? 0);
      });
      sent.on('error', reject).end(body);
    });

  it('answers under its own names only', async () => {
    for (const host of [
      'evil.example',
      'localhost.evil.example',
      'winders.mill.example.evil.example',
      'x@localhost',
    ])
      expect(await raw('GET', '/health/live', { host }), host).toBe(421);
    for (const host of [
      'localhost',
      'LOCALHOST:1',
      '127.0.0.1',
      '[::1]:99',
      'winders.mill.example',
      'winders.mill.example:8080',
    ])
      expect(await raw('GET', '/health/live', { host }), host).toBe(200);
  });

  it('lets pages of other origins change nothing, with the cookie or without', async () => {
    const host = 'winders.mill.example';
    const json = { 'content-type': 'application/json', host };
    const body = JSON.stringify({ name: nameOf('viewer'), password: passwordOf('viewer') });
    const { headers } = people.get('viewer')!.signedIn;
    for (const forged of [
      { origin: 'http://evil.example' },
      { origin: 'null' },
      { origin: 'https://winders.mill.example' },
      { origin: 'http://winders.mill.example:81' },
      { origin: 'http://localhost' },
      { 'sec-fetch-site': 'cross-site' },
      { 'sec-fetch-site': 'same-site' },
      { 'sec-fetch-site': 'none' },
    ] as Record<string, string>[]) {
      expect(await raw('POST', '/api/session', { ...json, ...forged }, body), JSON.stringify(forged)).toBe(
        403,
      );
      const change = { ...json, ...headers, ...forged };
      expect(await raw('DELETE', '/api/session', change), JSON.stringify(forged)).toBe(403);
    }
    const here = new URL(service.url).host;
    const own = { ...json, host: here, origin: `http://${here}`, 'sec-fetch-site': 'same-origin' };
    expect(await raw('POST', '/api/session', own, body)).toBe(200);
    // Under a name of the network, but not over TLS: a password would have crossed it in clear.
    const inClear = { ...json, origin: `http://${host}`, 'sec-fetch-site': 'same-origin' };
    expect(await raw('POST', '/api/session', inClear, body)).toBe(403);
  });

  it('survives huge bodies and heaps of cookies', async () => {
    const json = { 'content-type': 'application/json' };
    const big = JSON.stringify({ name: 'x', password: 'p'.repeat(20_000) });
    expect(await raw('POST', '/api/session', json, big)).toBe(413);
    const huge = await raw('POST', '/api/session', json, `"${'x'.repeat(30_000_000)}"`).catch(() => 413);
    expect(huge).toBe(413);
    const deep = `${'['.repeat(8000)}${']'.repeat(8000)}`;
    expect(await raw('POST', '/api/session', json, deep)).toBe(400);
    const cookies = Array.from({ length: 1200 }, (_, index) => `c${index}=${index}`).join('; ');
    expect(await raw('GET', '/api/session', { cookie: cookies })).toBe(200);
    const same = Array.from({ length: 250 }, () => `edge-margin-session=${'a'.repeat(43)}`).join('; ');
    expect(await raw('GET', '/api/session', { cookie: same.slice(0, 15_000) })).toBe(200);
    expect(await raw('GET', '/api/session', { cookie: 'x'.repeat(30_000) })).toBe(431);
    for (const cookie of ['edge-margin-session', '=;=;=', 'edge-margin-session=%ff%00', '\u00ff=\u00fe'])
      expect(await raw('GET', '/api/winders', { cookie }), cookie).toBe(401);
    expect((await session(administrator)).person?.role).toBe('administrator');
  });

  it('ends sessions and keys when their time is over, and keeps the others over a restart', async () => {
    const watching = await signIn(service, nameOf('viewer'), passwordOf('viewer'));
    const idle = await signIn(service, nameOf('operator'), passwordOf('operator'));
    const key = await makeKey(service, administrator, 'Expiring', ['view']);
    const kept = await makeKey(service, administrator, 'Staying', ['view']);
    const hour = 3_600_000;
    await restart((database) => {
      const age =
        'UPDATE door_session SET created_at_ms = created_at_ms - ?, last_used_at_ms = last_used_at_ms - ? WHERE person_id = ?';
      database.prepare(age).run(13 * hour, 0, people.get('viewer')!.id);
      database.prepare(age).run(9 * hour, 9 * hour, people.get('operator')!.id);
      database.prepare('UPDATE api_key SET expires_at_ms = ? WHERE id = ?').run(Date.now() - 1, key.id);
    });
    expect((await session(watching)).person).toBeNull();
    expect((await session(idle)).person).toBeNull();
    expect(await probe({ headers: key.headers }, 'view')).toBe(401);
    expect(await probe({ headers: kept.headers }, 'view')).toBe(200);
    expect((await session(administrator)).person?.role).toBe('administrator');
    expect(service.output()).not.toContain('first-administrator#word');
  });

  it('has everything in its audit, and no secret there, in the log or in the store', async () => {
    const { entries } = (await (
      await ask(administrator, 'GET', '/api/audit?limit=1000')
    ).json()) as AuditBody;
    const whats = new Set(entries.map(({ what }) => what));
    expect([...whats].sort()).toEqual([
      'first-administrator',
      'first-administrator-refused',
      'key-ended',
      'key-made',
      'key-refused',
      'password-change-refused',
      'password-changed',
      'person-changed',
      'person-made',
      'pin-changed',
      'sign-in',
      'sign-in-refused',
      'sign-out',
    ]);
    expect(entries.find(({ what }) => what === 'person-made')).toMatchObject({
      actor: 'Ada <b>Admin</b>',
      from: '127.0.0.1',
    });
    expect(entries.every(({ atMs }, index) => index === 0 || atMs <= entries[index - 1]!.atMs)).toBe(true);
    const page = (await (await ask(administrator, 'GET', '/api/audit?limit=2')).json()) as AuditBody;
    expect(page.entries).toEqual(entries.slice(0, 2));
    // Page by page it is the same, each entry once, whatever is added meanwhile.
    const paged: AuditBody['entries'][number][] = [];
    let before = '';
    for (;;) {
      const next = (await (
        await ask(administrator, 'GET', `/api/audit?limit=7${before === '' ? '' : `&before=${before}`}`)
      ).json()) as AuditBody;
      paged.push(...next.entries);
      if (paged.length === 7) await session({ headers: { authorization: 'Bearer em_nobody' } });
      if (next.olderBefore === null) break;
      before = next.olderBefore;
    }
    expect(paged).toEqual(entries);
    const wrong = await ask(administrator, 'GET', '/api/audit?before=yesterday');
    expect(wrong.status).toBe(400);
    expect((await wrong.json()).detail).toMatch(/before.*olderBefore/);
    const cookies = [administrator, ...[...people.values()].map((person) => person.signedIn)].flatMap(
      ({ headers }) => [headers['cookie']!.split('=')[1]!, headers['x-csrf-token']!],
    );
    const database = new Database(join(environment.DATA_DIR, 'store.sqlite'), { readonly: true });
    const stored = ['person', 'door_session', 'api_key', 'audit'].map((table) =>
      JSON.stringify(database.prepare(`SELECT * FROM ${table}`).all()),
    );
    database.close();
    const written = [earlierOutput, service.output(), JSON.stringify(entries), ...stored].join('\n');
    for (const secret of [...secrets, ...cookies]) expect(written.includes(secret), secret).toBe(false);
  });
});
