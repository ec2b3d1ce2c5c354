import type { GapsBody } from '@edge-margin/monitoring';
import mqtt, { type MqttClient } from 'mqtt';
import { spawnSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { request } from 'node:http';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { z } from 'zod';
import { eventually } from './support/eventually.js';
import { filmPlant, publishFilm } from './support/film-winder.js';
import { type Mosquitto, startMosquitto } from './support/mosquitto.js';
import { acknowledgingMachine } from './support/people.js';
import { dataDirectory, type RunningService, startService } from './support/service.js';

interface OpenApi {
  readonly openapi: string;
  readonly paths: Record<
    string,
    Record<string, { responses: Record<string, { content?: Record<string, { schema: object }> }> }>
  >;
  readonly components: { readonly schemas: Record<string, object> };
}

describe('the HTTP API', () => {
  const data = dataDirectory();
  let broker: Mosquitto;
  let service: RunningService;
  let gateway: MqttClient;
  let api: OpenApi;
  let machine: Readonly<Record<string, string>>;

  beforeAll(async () => {
    broker = await startMosquitto();
    const plantFile = join(data.path, 'plant.yaml');
    writeFileSync(
      plantFile,
      filmPlant.replace('name: Film winder 9', 'name: "<b onclick=alert(1)>Film</b> winder 9"'),
    );
    service = await startService({
      DATA_DIR: join(data.path, 'data'),
      PLANT_FILE: plantFile,
      MQTT_URL: broker.url,
    });
    machine = await acknowledgingMachine(service, 'Shift recorder');
    gateway = await mqtt.connectAsync(broker.url);
    await eventually(
      async () => ((await service.get('/health/ready')).status === 200 ? true : undefined),
      'ready',
    );
    const startMs = Date.now() - 30_000;
    await publishFilm(gateway, { startMs, from: 0, to: 150 });
    api = await service.json<OpenApi>('/api/openapi.json');
    await eventually(
      async () =>
        (await service.json<{ alarms: unknown[] }>('/api/alarms')).alarms.length > 0 ? true : undefined,
      'an alarm',
    );
  });

  afterAll(async () => {
    await gateway.endAsync();
    await service.stop();
    await broker.dispose();
    data.remove();
  });

  /** Checks a body against a schema of the served description. */
  const check = (name: string, body: unknown): void => {
    const schema = z.fromJSONSchema({
      $ref: `#/$defs/${name}`,
      $defs: JSON.parse(
        JSON.stringify(api.components.schemas).replaceAll('#/components/schemas/', '#/$defs/'),
      ),
    });
    const parsed = schema.safeParse(body);
    expect(parsed.success ? [] : parsed.error.issues.slice(0, 3), name).toEqual([]);
  };

  it('describes itself in OpenAPI 3.1', () => {
    expect(api.openapi).toMatch(/^3\.1\./);
    expect(Object.keys(api.paths).sort()).toEqual([
      '/api/alarms',
      '/api/alarms/journal',
      '/api/alarms/{alarmKey}/acknowledge',
      '/api/assess',
      '/api/asyncapi.json',
      '/api/audit',
      '/api/first-administrator',
      '/api/gaps',
      '/api/journal-rows',
      '/api/keeping',
      '/api/keys',
      '/api/keys/{id}',
      '/api/live',
      '/api/openapi.json',
      '/api/people',
      '/api/people/names',
      '/api/people/{id}',
      '/api/readings-not-used',
      '/api/service-health',
      '/api/session',
      '/api/session/password',
      '/api/session/pin',
      '/api/winders',
      '/api/winders/{winderId}',
      '/api/winders/{winderId}/operating-map',
      '/api/winders/{winderId}/series',
      '/health/live',
      '/health/ready',
      '/metrics',
    ]);
  });

  it.each([
    ['/api/winders', 'WindersBody'],
    ['/api/winders/film-9', 'WinderBody'],
    [
      '/api/winders/film-9/series?station=a&field=reading:speed&field=assessment:marginRatio&field=reading:nipLoad@drive',
      'SeriesBody',
    ],
    ['/api/winders/film-9/operating-map?station=a&over=diameter&steps=20', 'OperatingMapBody'],
    ['/api/winders/film-9/operating-map?station=a&over=nipLoad&steps=20', 'OperatingMapBody'],
    ['/api/alarms', 'AlarmsBody'],
    ['/api/alarms/journal', 'AlarmJournalBody'],
    ['/api/readings-not-used', 'ReadingsNotUsedBody'],
    ['/api/gaps', 'GapsBody'],
    ['/api/gaps?from=1&to=2&limit=3', 'GapsBody'],
  ])('answers %s as described', async (path, schema) => {
    const response = await service.get(path);
    expect(response.status).toBe(200);
    check(schema, await response.json());
  });

  it('would notice an answer that is not as described', () => {
    expect(() => check('AlarmsBody', { alarms: [{ alarmKey: 1 }] })).toThrow();
  });

  it.each([
    ['/api/winders/none', 404, /"none".*film-9/],
    ['/api/winders/film-9/series?station=z&field=reading:speed', 404, /"z".*a/],
    ['/api/winders/film-9/series?station=a', 400, /field/],
    ['/api/winders/film-9/series?station=a&field=speed', 400, /measurement:field/],
    ['/api/winders/film-9/series?station=a&field=reading:speed&from=5&to=4', 400, /from/],
    ['/api/winders/film-9/series?station=a&field=reading:speed&maxPoints=999999', 400, /10000/],
    ['/api/alarms/journal?limit=-1', 400, /limit/],
    ['/api/gaps?limit=1001', 400, /limit.*1000/],
    ['/api/gaps?since=1', 400, /since/],
    ['/api/winders/film-9/operating-map?station=a&over=humidity', 400, /diameter, nipLoad or tension/],
    ['/api/winders/film-9/operating-map?station=a&steps=5000', 400, /steps/],
    ['/api/winders/film-9/operating-map?station=q', 404, /film-9\/q/],
    ['/api/nothing', 404, /nothing/],
  ])('refuses %s with a problem that says what would be right', async (path, status, detail) => {
    const response = await service.get(path);
    expect(response.headers.get('content-type')).toContain('application/problem+json');
    const problem = await response.json();
    check('Problem', problem);
    expect(problem).toMatchObject({ status, title: expect.any(String), type: 'about:blank' });
    expect(problem.detail).toMatch(detail);
    expect(response.status).toBe(status);
  });

  it('assesses an operating point as the command line does', async () => {
    const point = {
      web: { widthM: 1, caliperM: 12e-6, combinedRoughnessM: 0.3e-6, permeanceMPerPaS: 0 },
      nip: { rollerDiameterM: 0.12, coverModulusPa: 3e6, coverPoissonRatio: 0.5, loadNPerM: 300 },
      running: { speedMPerS: 5, rollDiameterM: 0.3, tensionNPerM: 100 },
    };
    const response = await service.post('/api/assess', point);
    expect(response.status).toBe(200);
    const answer = await response.json();
    check('AssessBody', answer);
    const cli = spawnSync(
      process.execPath,
      [fileURLToPath(new URL('../../apps/cli/dist/main.js', import.meta.url)), 'assess', '-'],
      { input: JSON.stringify(point), encoding: 'utf8' },
    );
    expect(answer).toEqual(JSON.parse(cli.stdout));
    const refused = await service.post('/api/assess', { ...point, web: { ...point.web, widthM: 0 } });
    expect(refused.status).toBe(400);
    expect((await refused.json()).detail).toMatch(/widthM.*m\b/);
  });

  it('gives an operating map whose boundary passes through margin 0, with the present point on it', async () => {
    // It is drawn around what the station does now.
    await publishFilm(gateway, { startMs: Date.now() - 150 * 200, from: 150, to: 153 });
    await eventually(
      async () =>
        (await service.get('/api/winders/film-9/operating-map?station=a&steps=5')).status === 200
          ? true
          : undefined,
      'a map',
    );
    const { map, now } = await service.json<{
      map: { x: number[]; y: number[]; marginRatio: number[][]; boundary: [number, number][] };
      now: { speedMPerS: number };
    }>('/api/winders/film-9/operating-map?station=a&steps=30');
    expect(map.marginRatio).toHaveLength(30);
    expect(map.boundary.length).toBeGreaterThan(10);
    expect(now.speedMPerS).toBeCloseTo(6, 1);
    // Faster is nearer to the boundary, whatever the diameter.
    for (const row of map.marginRatio) expect(row.at(-1)!).toBeLessThan(row[1]!);
  });

  it('refuses an acknowledgement of nobody, of no alarm, or of another occurrence, and journals nothing for it', async () => {
    const { alarms } = await service.json<{ alarms: { alarmKey: string; occurrenceId: string }[] }>(
      '/api/alarms',
    );
    const alarm = alarms[0]!;
    const path = `/api/alarms/${alarm.alarmKey}/acknowledge`;
    const nobody = await service.post(path, { occurrenceId: alarm.occurrenceId });
    expect(nobody.status).toBe(401);
    expect((await nobody.json()).errors[0].pointer).toBe('/acting');
    const claimed = await service.post(path, { occurrenceId: alarm.occurrenceId, actor: 'Rosa' }, machine);
    expect(claimed.status).toBe(400);
    const none = await service.post('/api/alarms/film-9.a.heat/acknowledge', { occurrenceId: 'x' }, machine);
    expect(none.status).toBe(404);
    const late = await service.post(path, { occurrenceId: `${alarm.alarmKey}@1` }, machine);
    expect(late.status).toBe(409);
    const journal = await service.json<{ transitions: { kind: string }[] }>('/api/alarms/journal');
    expect(journal.transitions.filter(({ kind }) => kind === 'acknowledge')).toEqual([]);
  });

  it('journals one acknowledgement of two at the same time, and answers both well', async () => {
    const { alarms } = await service.json<{ alarms: { alarmKey: string; occurrenceId: string }[] }>(
      '/api/alarms',
    );
    const alarm = alarms.find(({ alarmKey }) => alarmKey === 'film-9.a.air')!;
    const once = (): Promise<Response> =>
      service.post(
        `/api/alarms/${alarm.alarmKey}/acknowledge`,
        { occurrenceId: alarm.occurrenceId },
        machine,
      );
    const answers = await Promise.all([once(), once()]);
    expect(answers.map(({ status }) => status)).toEqual([200, 200]);
    for (const answer of answers) check('AcknowledgeBody', await answer.json());
    const journal = await service.json<{ transitions: { kind: string; actor: string }[] }>(
      '/api/alarms/journal',
    );
    const acknowledged = journal.transitions.filter(({ kind }) => kind === 'acknowledge');
    expect(acknowledged.map(({ actor }) => actor)).toEqual(['Shift recorder']);
  });

  it.each([
    ['malformed JSON', '{"occurrenceId":', 'application/json', 400],
    [
      'a body of 20 kB',
      JSON.stringify({ occurrenceId: 'x', comment: 'a'.repeat(20_000) }),
      'application/json',
      413,
    ],
    ['another media type', 'occurrenceId=x', 'application/x-www-form-urlencoded', 400],
  ])('refuses %s', async (_what, body, type, status) => {
    const response = await fetch(`${service.url}/api/alarms/film-9.a.air/acknowledge`, {
      method: 'POST',
      headers: { 'content-type': type, ...machine },
      body,
    });
    expect(response.status).toBe(status);
    expect(response.headers.get('content-type')).toContain('application/problem+json');
  });

  it('lets in nobody who comes under another name or from another page', async () => {
    const ask = (headers: Record<string, string>): Promise<number> =>
      new Promise((resolve, reject) => {
        request(`${service.url.replace('localhost', '127.0.0.1')}/api/winders`, { headers }, (response) => {
          response.resume();
          resolve(response.statusCode ?? 0);
        })
          .on('error', reject)
          .end();
      });
    expect(await ask({ host: 'winders.example' })).toBe(421);
    expect(await ask({ host: 'localhost.evil.example' })).toBe(421);
    expect(await ask({ origin: 'http://evil.example' })).toBe(403);
    expect(await ask({ origin: service.url.replace('localhost', '127.0.0.1') })).toBe(200);
  });

  it('tells what is missing, the newest first, as far as it reaches into the time asked for, and whether there is more', async () => {
    const jumped = async (from: number): Promise<void> => {
      await publishFilm(gateway, { startMs: Date.now() - from * 200, from, to: from + 2 });
    };
    const gaps = async (query = '') => service.json<GapsBody>(`/api/gaps${query}`);
    await jumped(160);
    const [first] = await eventually(async () => {
      const found = (await gaps()).gaps;
      return found.length > 0 ? found : undefined;
    }, 'a gap');
    expect(first).toMatchObject({ what: 'messages', because: { code: 'messages-lost' } });
    expect(first!.because.text).toMatch(/^\d+ messages of mill\/film-9\/a\/drive never/);
    // A minute later it would be a gap of its own; here it widens or follows the first one.
    await jumped(200);
    await eventually(async () => {
      const { gaps: now } = await gaps();
      return now.reduce((sum, { count }) => sum + (count ?? 0), 0) > (first!.count ?? 0) ? true : undefined;
    }, 'more that is missing');
    const all = await gaps();
    check('GapsBody', all);
    expect(all.gaps.map(({ toMs }) => toMs)).toEqual(all.gaps.map(({ toMs }) => toMs).sort((a, b) => b - a));
    expect(all.more).toBe(false);
    expect(await gaps('?limit=0')).toEqual({ gaps: [], more: true });
    const newest = all.gaps[0]!;
    expect((await gaps(`?from=${newest.toMs + 1}`)).gaps).toEqual([]);
    expect((await gaps(`?to=${Math.min(...all.gaps.map(({ fromMs }) => fromMs)) - 1}`)).gaps).toEqual([]);
    expect((await gaps(`?from=${newest.toMs}&to=${newest.toMs}`)).gaps[0]).toEqual(newest);
  });

  it('shows to nobody but those who look after the service what is kept how long', async () => {
    expect((await service.get('/api/keeping')).status).toBe(401);
  });

  it('sends its pages with headers that allow its own scripts only', async () => {
    const response = await service.get('/winders/film-9/a');
    expect(response.status).toBe(200);
    expect(response.headers.get('content-type')).toContain('text/html');
    expect(response.headers.get('content-security-policy')).toMatch(/script-src 'self'(;|$)/);
    expect(response.headers.get('x-content-type-options')).toBe('nosniff');
    expect(await response.text()).not.toContain('alert(1)');
  });

  it('streams assessments, alarms and its own state as server-sent events with ids', async () => {
    const abort = new AbortController();
    const response = await fetch(`${service.url}/api/live`, { signal: abort.signal });
    expect(response.headers.get('content-type')).toContain('text/event-stream');
    let text = '';
    const reader = response.body!.pipeThrough(new TextDecoderStream()).getReader();
    while (!/event: alarm\n[\s\S]*event: service\n[\s\S]*event: service\n/.test(text))
      text += (await reader.read()).value ?? '';
    abort.abort();
    const events = text.split('\n\n').filter((block) => block.includes('data: '));
    const ids = events.map((block) => /id: (.*)/.exec(block)?.[1]);
    expect(new Set(ids).size).toBe(events.length);
    for (const block of events.slice(0, -1)) {
      const type = /event: (.*)/.exec(block)?.[1];
      check('LiveEvent', { type, data: JSON.parse(/data: (.*)/.exec(block)?.[1] ?? 'null') });
    }
  });
});
