import type {
  AlarmJournalBody,
  AlarmsBody,
  ActingNamesBody,
  AuditBody,
  SessionBody,
  WindersBody,
} from '@edge-margin/monitoring';
import { roles } from '@edge-margin/access';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { eventually } from './support/eventually.js';
import { signIn } from './support/first-administrator.js';
import { dataDirectory, refusedStart, type RunningService, startService } from './support/service.js';

describe('a shared screen, in the demonstration', () => {
  const data = dataDirectory();
  let service: RunningService;
  let demoPeople: NonNullable<SessionBody['demoPeople']>;
  const passwordOf = (role: string): string => demoPeople.find((person) => person.role === role)!.password;

  beforeAll(async () => {
    service = await startService({ DATA_DIR: data.path });
    demoPeople = (await service.json<SessionBody>('/api/session')).demoPeople!;
  });

  afterAll(async () => {
    await service.stop();
    data.remove();
  });

  /** Asks for an alarm that there is not: 404 says that the person was let through. */
  const act = (name: string, secret: string): Promise<Response> =>
    service.post('/api/alarms/none/acknowledge', { occurrenceId: 'x', acting: { name, secret } });

  it('shows one person for every role, whose password opens what the role may', async () => {
    expect(demoPeople.map(({ role }) => role)).toEqual(roles);
    for (const { name, role, password } of demoPeople) {
      const { headers } = await signIn(service, name, password);
      const body = (await (await fetch(`${service.url}/api/session`, { headers })).json()) as SessionBody;
      expect(body.person).toMatchObject({ name, role });
    }
    expect(service.output()).not.toContain(demoPeople[0]!.password);
  });

  it('lets anybody look, compute and follow the live stream, and nothing else', async () => {
    expect((await service.json<SessionBody>('/api/session')).may).toEqual(['view', 'assess-point']);
    expect((await service.json<WindersBody>('/api/winders')).winders.length).toBeGreaterThan(0);
    const stream = await fetch(`${service.url}/api/live`);
    expect((await stream.body!.getReader().read()).done).toBe(false);
    for (const path of ['/api/people', '/api/keys', '/api/audit', '/api/service-health'])
      expect((await service.get(path)).status, path).toBe(401);
  });

  it('offers the names of those who may act', async () => {
    const { names } = await service.json<ActingNamesBody>('/api/people/names');
    expect(names).toEqual(['Demo engineer', 'Demo maintenance', 'Demo operator']);
  });

  it('asks for a person before an action', async () => {
    const response = await service.post('/api/alarms/none/acknowledge', { occurrenceId: 'x' });
    expect(response.status).toBe(401);
    expect((await response.json()).errors[0].pointer).toBe('/acting');
    expect((await act('Demo operator', 'not the password')).status).toBe(401);
    expect((await act('No such person', 'not the password')).status).toBe(401);
    expect((await act('Demo viewer', passwordOf('viewer'))).status).toBe(403);
    expect((await act('Demo administrator', passwordOf('administrator'))).status).toBe(403);
    expect((await act('demo OPERATOR', passwordOf('operator'))).status).toBe(404);
    for (const acting of [null, 'Rosa', {}, { name: 'Demo operator' }, { name: 7, secret: 'x' }]) {
      const bad = await service.post('/api/alarms/none/acknowledge', { occurrenceId: 'x', acting });
      expect(bad.status, JSON.stringify(acting)).toBe(400);
    }
  });

  it('takes a PIN for one action but not for a sign-in, slows down wrong ones, and takes the password at once', async () => {
    const operator = await signIn(service, 'Demo operator', passwordOf('operator'));
    const set = await fetch(`${service.url}/api/session/pin`, {
      method: 'PUT',
      headers: { ...operator.headers, 'content-type': 'application/json' },
      body: JSON.stringify({ password: passwordOf('operator'), newPin: '90210' }),
    });
    expect(set.status).toBe(200);
    expect((await act('Demo operator', '90210')).status).toBe(404);
    const asPassword = { name: 'Demo operator', password: '90210' };
    expect((await service.post('/api/session', asPassword)).status).toBe(401);
    let waits = 0;
    for (let wrong = 0; wrong < 5;) {
      const response = await act('Demo operator', `8${wrong}31`);
      expect([401, 429]).toContain(response.status);
      if (response.status === 401) wrong += 1;
      else {
        waits += 1;
        expect(Number(response.headers.get('retry-after'))).toBeGreaterThan(0);
        await new Promise((resolve) => setTimeout(resolve, 200));
      }
    }
    // Three are free, then it goes slowly; the password is another matter and works at once.
    expect(waits).toBeGreaterThan(0);
    expect((await act('Demo operator', passwordOf('operator'))).status).toBe(404);
  });

  it('journals who acted by the name that they have here, and the audit where and what', async () => {
    const alarm = await eventually(
      async () =>
        (await service.json<AlarmsBody>('/api/alarms')).alarms.find(({ state }) => state === 'UNACK'),
      'an alarm of the demonstration',
      100_000,
    );
    const response = await service.post(`/api/alarms/${alarm.alarmKey}/acknowledge`, {
      occurrenceId: alarm.occurrenceId,
      comment: 'seen <b>it</b>\nwill look',
      acting: { name: 'DEMO maintenance', secret: passwordOf('maintenance') },
    });
    expect(response.status).toBe(200);
    const { transitions } = await service.json<AlarmJournalBody>('/api/alarms/journal');
    expect(transitions.find(({ kind }) => kind === 'acknowledge')).toMatchObject({
      actor: 'Demo maintenance',
      alarm: { acknowledged: { actor: 'Demo maintenance', comment: 'seen <b>it</b>\nwill look' } },
    });
    const engineer = await signIn(service, 'Demo engineer', passwordOf('engineer'));
    const audit = (await (
      await fetch(`${service.url}/api/audit`, { headers: engineer.headers })
    ).json()) as AuditBody;
    expect(audit.entries.find(({ what }) => what === 'acting')).toMatchObject({
      actor: 'Demo maintenance',
      from: '127.0.0.1',
      detail: `POST /api/alarms/${alarm.alarmKey}/acknowledge`,
    });
    expect(audit.entries.filter(({ what }) => what === 'acting-refused').length).toBeGreaterThan(2);
    expect(JSON.stringify(audit)).not.toContain('90210');
  });

  it('stays on this machine', async () => {
    const { code, output } = await refusedStart({ DATA_DIR: `${data.path}/other`, HTTP_HOST: '0.0.0.0' });
    expect(code).toBe(2);
    expect(output).toMatch(/passwords are public/);
  });
});
