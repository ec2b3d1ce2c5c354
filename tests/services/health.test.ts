import type {
  AlarmJournalBody,
  AlarmsBody,
  JournalRowsBody,
  ReadinessBody,
  ServiceHealthBody,
} from '@edge-margin/monitoring';
import mqtt, { type MqttClient } from 'mqtt';
import { rmSync, statfsSync, writeFileSync } from 'node:fs';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { canMount, mountSmallDisk, type SmallDisk } from '../faults/journal-small-disk.js';
import { eventually } from './support/eventually.js';
import { filmPlant } from './support/film-winder.js';
import { firstAdministrator, signIn, type SignedIn } from './support/first-administrator.js';
import { type Mosquitto, startMosquitto } from './support/mosquitto.js';
import { dataDirectory, type RunningService, startService } from './support/service.js';

// Without the right to mount there is no disk that could be nearly full: then this fails, and says why.
describe('the service’s own health', () => {
  const data = dataDirectory();
  const onMqtt = new Map<string, string>();
  let disk: SmallDisk;
  let broker: Mosquitto;
  let influx: Server;
  let service: RunningService;
  let listener: MqttClient;
  let ada: SignedIn;
  let ines: SignedIn;

  beforeAll(async () => {
    if (!canMount()) throw new Error('a small disk is needed: run this as a user who may mount');
    disk = mountSmallDisk(128);
    broker = await startMosquitto();
    // An InfluxDB that knows nobody of our name.
    influx = createServer((_request, response) => {
      response.writeHead(401, { 'content-type': 'application/json' });
      response.end('{"error":"authorization failed"}');
    });
    await new Promise<void>((resolve) => influx.listen(0, '127.0.0.1', resolve));
    const plantFile = join(data.path, 'plant.yaml');
    writeFileSync(plantFile, filmPlant);
    service = await startService({
      DATA_DIR: disk.directory,
      PLANT_FILE: plantFile,
      MQTT_URL: broker.url,
      INFLUX_URL: `http://127.0.0.1:${(influx.address() as AddressInfo).port}`,
    });
    listener = await mqtt.connectAsync(broker.url);
    listener.on('message', (topic, payload) => onMqtt.set(topic, payload.toString()));
    await listener.subscribeAsync('edge-margin/+/service/#', { qos: 1 });
    ada = await firstAdministrator(service);
    await fetch(`${service.url}/api/people`, {
      method: 'POST',
      headers: { ...ada.headers, 'content-type': 'application/json' },
      body: JSON.stringify({ name: 'Ines', role: 'maintenance', password: 'another long word for tests' }),
    });
    ines = await signIn(service, 'Ines', 'another long word for tests');
  });

  afterAll(async () => {
    await listener.endAsync();
    await service.stop();
    await broker.dispose();
    await new Promise((resolve) => influx.close(resolve));
    disk.dispose();
    data.remove();
  });

  const ask = async <T>(path: string): Promise<T> =>
    (await fetch(service.url + path, { headers: ines.headers })).json() as Promise<T>;
  const health = (): Promise<ServiceHealthBody> => ask<ServiceHealthBody>('/api/service-health');
  const part = async (name: string) => (await health()).parts.find((one) => one.part === name);
  const alarm = async (trouble: string) =>
    (await ask<AlarmsBody>('/api/alarms')).alarms.find(
      ({ alarmKey }) => alarmKey === `service.testsite.${trouble}`,
    );
  const key = 'service.testsite.disk-space';

  it('shows every part with its state, since when, and its figures', async () => {
    const body = await eventually(async () => {
      const now = await health();
      return now.parts.find((one) => one.part === 'broker')?.state === 'ok' ? now : undefined;
    }, 'connected');
    expect(body.parts.map((one) => one.part)).toEqual([
      'broker',
      'journal',
      'store',
      'fold',
      'live',
      'outbox',
      'replica',
      'disk',
      'clock',
      'process',
    ]);
    for (const one of body.parts) {
      expect(one.sinceMs).toBeGreaterThanOrEqual(body.startedAtMs);
      expect(one.sinceMs).toBeLessThanOrEqual(body.nowMs);
      expect(new Set(one.figures.map(({ name }) => name)).size).toBe(one.figures.length);
    }
    expect((await part('disk'))?.figures.find(({ name }) => name === 'size-bytes')?.value).toBe(
      128 * 2 ** 20,
    );
  });

  it('is told only to who may see it', async () => {
    expect((await service.get('/api/service-health')).status).toBe(401);
  });

  it('goes on with a replica that refuses, says why, and calls maintenance', async () => {
    const raised = await eventually(() => alarm('replica-refused'), 'the alarm', 40_000);
    expect(raised).toMatchObject({ mechanism: 'service', winderId: '', state: 'UNACK', priority: 'medium' });
    expect(raised.response).toMatch(/rights/);
    expect((await part('replica'))?.state).toBe('down');
    const ready = await service.get('/health/ready');
    expect(ready.status).toBe(200);
    const { status, because } = (await ready.json()) as ReadinessBody;
    expect(status).toBe('warn');
    expect(because.find((one) => one.part === 'replica')?.status).toBe('warn');
    expect(JSON.stringify(because)).not.toContain('127.0.0.1');
  });

  it('calls maintenance before the disk is full, over HTTP, MQTT and the journal', async () => {
    fillTo(disk, 0.08);
    const raised = await eventually(() => alarm('disk-space'), 'the alarm', 30_000);
    expect(raised).toMatchObject({ stage: 'foreseen', state: 'UNACK', winderId: '', stationId: '' });
    expect(raised.because.text).toMatch(/GB \([78]\.\d %\) are free/);
    expect((await part('disk'))?.state).toBe('degraded');
    const topic = `edge-margin/testsite/service/alarm/${key}`;
    const sent = await eventually(() => onMqtt.get(topic), 'the message');
    expect(JSON.parse(sent)).toMatchObject({ alarmKey: key, state: 'UNACK' });
    const own = (await health()).alarms.map(({ alarmKey }) => alarmKey);
    expect(own).toContain(key);
  });

  it('names the journal row in the log and in the record of the transition', async () => {
    const { transitions } = await ask<AlarmJournalBody>('/api/alarms/journal');
    const raised = transitions.find(({ alarm, kind }) => alarm.alarmKey === key && kind === 'raise');
    expect(raised?.row).toMatchObject({ kind: 'command', position: expect.any(Number) });
    const line = service
      .output()
      .split('\n')
      .filter((text) => text.startsWith('{'))
      .map((text) => JSON.parse(text) as { alarm?: string; id?: string; row?: object })
      .find(({ id }) => id === raised?.id);
    expect(line).toMatchObject({ alarm: key, row: raised?.row });
  });

  it('leads from the alarm to its row, and from the row back to the alarm', async () => {
    const { transitions } = await ask<AlarmJournalBody>('/api/alarms/journal');
    const raised = transitions.find(({ alarm, kind }) => alarm.alarmKey === key && kind === 'raise')!;
    const { rows } = await ask<JournalRowsBody>(`/api/journal-rows?from=${raised.row!.position}&limit=1`);
    expect(rows).toMatchObject([
      {
        ...raised.row,
        sample: expect.stringContaining('disk-space'),
        alarms: [{ id: raised.id, alarmKey: key, kind: 'raise' }],
      },
    ]);
  });

  it('takes the acknowledgement of maintenance, and clears by itself', async () => {
    const open = (await alarm('disk-space'))!;
    const acknowledged = await fetch(`${service.url}/api/alarms/${key}/acknowledge`, {
      method: 'POST',
      headers: { ...ines.headers, 'content-type': 'application/json' },
      body: JSON.stringify({ occurrenceId: open.occurrenceId, comment: 'making room' }),
    });
    expect(acknowledged.status).toBe(200);
    expect(await alarm('disk-space')).toMatchObject({ state: 'ACKED', acknowledged: { actor: 'Ines' } });
    disk.free();
    await eventually(
      async () => ((await alarm('disk-space')) === undefined ? true : undefined),
      'the alarm is over',
      60_000,
    );
    const { transitions } = await ask<AlarmJournalBody>('/api/alarms/journal');
    const kinds = transitions.filter((one) => one.alarm.alarmKey === key).map(({ kind }) => kind);
    expect(kinds).toEqual(['clear', 'acknowledge', 'raise']);
  });

  it('is not ready without its broker, and names no address to strangers', async () => {
    await broker.stop();
    const body = await eventually(async () => {
      const response = await service.get('/health/ready');
      return response.status === 503 ? ((await response.json()) as ReadinessBody) : undefined;
    }, 'not ready');
    expect(body.status).toBe('fail');
    expect(body.because.find((one) => one.part === 'broker')?.status).toBe('fail');
    expect(JSON.stringify(body)).not.toMatch(/127\.0\.0\.1|localhost/);
    expect(await part('broker')).toMatchObject({ state: 'down' });
    expect((await service.get('/health/live')).status).toBe(200);
  });
});

/** Leaves a share of the disk free. */
function fillTo({ directory }: SmallDisk, freeRatio: number): void {
  const { bavail, blocks, bsize } = statfsSync(directory);
  const bytes = (bavail - freeRatio * blocks) * bsize;
  rmSync(join(directory, 'filler'), { force: true });
  writeFileSync(join(directory, 'filler'), Buffer.alloc(Math.floor(bytes), 1));
}
