import type { WindersBody } from '@edge-margin/monitoring';
import { openStore } from '@edge-margin/store-sqlite';
import mqtt from 'mqtt';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { makeAuthority } from './support/certificates.js';
import { eventually } from './support/eventually.js';
import { filmPlant } from './support/film-winder.js';
import { startMosquitto } from './support/mosquitto.js';
import {
  dataDirectory,
  readyOf,
  refusedStart,
  type RunningService,
  startService,
} from './support/service.js';

const endings: (() => Promise<unknown> | void)[] = [];
afterEach(async () => {
  for (const end of endings.splice(0).reverse()) await end();
});

/** A folder with a plant file and these files beside it. */
function folder(files: Readonly<Record<string, string>> = {}): string {
  const data = dataDirectory();
  endings.push(data.remove);
  for (const [name, text] of Object.entries({ 'plant.yaml': filmPlant, ...files }))
    writeFileSync(join(data.path, name), text);
  return data.path;
}

const settings = (path: string, more: Readonly<Record<string, string>>) => ({
  DATA_DIR: join(path, 'data'),
  PLANT_FILE: join(path, 'plant.yaml'),
  ...more,
});

async function service(path: string, more: Readonly<Record<string, string>>): Promise<RunningService> {
  const started = await startService(settings(path, more));
  endings.push(started.stop);
  return started;
}

const brokerDetail = async (running: RunningService): Promise<string> =>
  (await running.json<WindersBody>('/api/winders')).service.broker.detail ?? '';

describe('the service and a broker over TLS', () => {
  it('says in plain words why it does not trust the broker, is not ready, and connects when all is right', async () => {
    const authority = await makeAuthority('Plant authority');
    const wrong = await authority.issue({ name: 'broker', hosts: ['other.example'] });
    const path = folder({ 'ca.pem': authority.ca, 'broker.pem': wrong.cert, 'broker.key': wrong.key });
    const broker = await startMosquitto({
      access: `allow_anonymous true\ncertfile ${path}/broker.pem\nkeyfile ${path}/broker.key`,
    });
    endings.push(broker.dispose);
    const running = await service(path, {
      MQTT_URL: `mqtts://127.0.0.1:${broker.port}`,
      MQTT_CA_FILE: join(path, 'ca.pem'),
      MQTT_CLIENT_ID: 'winders-of-the-north',
    });
    const words = "the broker's certificate is for other.example, not for 127.0.0.1";
    await eventually(
      async () => ((await brokerDetail(running)).includes(words) ? true : undefined),
      'the reason',
    );
    expect((await running.get('/health/ready')).status).toBe(503);
    expect(await (await running.get('/health/ready')).text()).toContain('"broker"');
    expect(running.output()).toContain(words);
    await broker.stop();
    const right = await authority.issue({ name: 'broker', hosts: ['127.0.0.1'] });
    writeFileSync(join(path, 'broker.pem'), right.cert);
    writeFileSync(join(path, 'broker.key'), right.key);
    await broker.start();
    await readyOf(running);
    expect(broker.log()).toContain('winders-of-the-north');
  });

  it('does not start with a certificate that cannot work, and says so in one line', async () => {
    const authority = await makeAuthority('Plant authority');
    const old = await authority.issue({ name: 'edge-margin', fromDays: -9, toDays: -2 });
    const path = folder({ 'own.pem': old.cert, 'own.key': old.key });
    const { code, output } = await refusedStart(
      settings(path, {
        MQTT_URL: 'mqtts://127.0.0.1:1',
        MQTT_CERT_FILE: join(path, 'own.pem'),
        MQTT_KEY_FILE: join(path, 'own.key'),
      }),
    );
    expect(code).toBe(2);
    expect(output.trim()).toMatch(/^MQTT_CERT_FILE: ".*own\.pem" was given, but it expired on \d{4}-/);
    expect(output.trim().split('\n')).toHaveLength(1);
  });
});

describe('messages that never come', () => {
  it('are noticed by their numbers, told, and recorded as a gap', async () => {
    const path = folder();
    const broker = await startMosquitto();
    endings.push(broker.dispose);
    const running = await service(path, { MQTT_URL: broker.url });
    await readyOf(running);
    const gateway = await mqtt.connectAsync(broker.url);
    endings.push(() => gateway.endAsync(true));
    for (const n of [0, 1, 5]) {
      const drive = { t: Date.now(), n, v: 300, d: 160, f: 120, on: 1 };
      await gateway.publishAsync('mill/film-9/a/drive', JSON.stringify(drive), { qos: 1 });
    }
    const words = '3 messages of mill/film-9/a/drive never came';
    await eventually(() => (running.output().includes(words) ? true : undefined), 'the loss is told');
    const told = await eventually(
      async () => (await brokerDetail(running)) || undefined,
      'the page is told that something is wrong at the broker',
    );
    expect(told).toMatch(/never came|nothing comes/);
    await running.stop();
    const store = openStore(join(path, 'data', 'store.sqlite'));
    endings.push(store.close);
    // On a busy machine the silence before and after may have become a gap of its own.
    const gaps = store.gaps.query({ what: 'messages', limit: 10 });
    expect(gaps.filter(({ because }) => because.code === 'messages-lost')).toMatchObject([{ count: 3 }]);
  });
});
