import type { WindersBody } from '@edge-margin/monitoring';
import mqtt, { type MqttClient } from 'mqtt';
import { execFileSync, spawnSync } from 'node:child_process';
import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { eventually } from '../services/support/eventually.js';
import { filmPlant, presentIndex, publishFilm } from '../services/support/film-winder.js';
import { type Influx, startInflux } from '../services/support/influx.js';
import { type Mosquitto, startMosquitto } from '../services/support/mosquitto.js';
import {
  dataDirectory,
  readyOf,
  refusedStart,
  type RunningService,
  startService,
} from '../services/support/service.js';

type Ending = () => Promise<unknown> | void;
const endings: Ending[] = [];
afterEach(async () => {
  for (const end of endings.splice(0).reverse()) await end();
});

function folder(): string {
  const data = dataDirectory();
  endings.push(data.remove);
  writeFileSync(join(data.path, 'plant.yaml'), filmPlant);
  return data.path;
}

async function brokerWith(options?: Parameters<typeof startMosquitto>[0]): Promise<Mosquitto> {
  const broker = await startMosquitto(options);
  endings.push(broker.dispose);
  return broker;
}

async function serviceFor(
  path: string,
  mqttUrl: string,
  env: Record<string, string> = {},
): Promise<RunningService> {
  const service = await startService({
    DATA_DIR: join(path, 'data'),
    PLANT_FILE: join(path, 'plant.yaml'),
    MQTT_URL: mqttUrl,
    ...env,
  });
  endings.push(service.stop);
  return service;
}

async function gatewayAt(url: string): Promise<MqttClient> {
  const client = await mqtt.connectAsync(url, { clientId: 'gateway', reconnectPeriod: 200 });
  endings.push(() => client.endAsync(true));
  return client;
}

const whyNotReady = async (service: RunningService): Promise<string> =>
  JSON.stringify(await service.json('/health/ready'));

async function storedSpeeds(service: RunningService, fromMs: number): Promise<number> {
  const answer = await service.json<{ series: { points: unknown[] }[] }>(
    `/api/winders/film-9/series?station=a&field=reading:speed&from=${fromMs}&to=${fromMs + 3_600_000}&maxPoints=10000`,
  );
  return answer.series[0]?.points.length ?? 0;
}

describe('the broker', () => {
  it('may be absent at the start: the service says so, serves its pages, and connects when it is there', async () => {
    const path = folder();
    const broker = await brokerWith();
    await broker.stop();
    const service = await serviceFor(path, broker.url);
    expect((await service.get('/health/ready')).status).toBe(503);
    expect(await whyNotReady(service)).toContain('broker');
    expect((await service.get('/')).status).toBe(200);
    await broker.start();
    await readyOf(service);
  });

  it('may go away and come back: the link is shown as down, and everything sent since is taken in', async () => {
    const path = folder();
    const broker = await brokerWith();
    const service = await serviceFor(path, broker.url);
    await readyOf(service);
    const gateway = await gatewayAt(broker.url);
    const startMs = Date.now();
    await publishFilm(gateway, { startMs, from: 0, to: 25, inStep: true });
    // What a killed broker had taken in and not yet handed on is lost with it: nobody here can prevent that.
    await eventually(
      async () => ((await storedSpeeds(service, startMs)) === 25 ? true : undefined),
      '25 speeds',
    );
    await broker.kill();
    await eventually(
      async () =>
        (await service.json<WindersBody>('/api/winders')).service.broker.state === 'down' ? true : undefined,
      'link shown as down',
    );
    await broker.start();
    await eventually(() => (gateway.connected ? true : undefined), 'gateway back');
    await readyOf(service);
    const from = presentIndex(startMs);
    await publishFilm(gateway, { startMs, from, to: from + 25, inStep: true });
    await eventually(
      async () => ((await storedSpeeds(service, startMs)) === 50 ? true : undefined),
      '50 speeds',
    );
  });

  it('may refuse the password: the reason is shown, the page stays up, and the right one helps', async () => {
    const path = folder();
    const passwords = join(path, 'passwords');
    execFileSync('mosquitto_passwd', ['-b', '-c', passwords, 'edge', 'right']);
    const broker = await brokerWith({ access: `allow_anonymous false\npassword_file ${passwords}` });
    writeFileSync(join(path, 'secret'), 'wrong\n');
    const wrong = await serviceFor(path, broker.url, {
      MQTT_USERNAME: 'edge',
      MQTT_PASSWORD_FILE: join(path, 'secret'),
    });
    await eventually(
      async () => ((await whyNotReady(wrong)).match(/not authori[sz]ed|bad user/i) ? true : undefined),
      'the reason',
    );
    expect(wrong.output()).not.toContain('wrong');
    expect(await wrong.stop()).toBe(0);
    writeFileSync(join(path, 'secret'), 'right\n');
    const right = await serviceFor(path, broker.url, {
      MQTT_USERNAME: 'edge',
      MQTT_PASSWORD_FILE: join(path, 'secret'),
    });
    await readyOf(right);
  });
});

describe('the database', () => {
  const countIn = async (influx: Influx): Promise<number> => {
    const query = encodeURIComponent('SELECT count(speed) FROM reading');
    const answer = await (await fetch(`${influx.url}/query?db=edge_margin&q=${query}`)).json();
    return answer.results?.[0]?.series?.[0]?.values?.[0]?.[1] ?? 0;
  };

  it('may be stopped and started: afterwards no row is missing', async () => {
    const path = folder();
    const [broker, influx] = await Promise.all([brokerWith(), startInflux()]);
    endings.push(influx.dispose);
    const service = await serviceFor(path, broker.url, { INFLUX_URL: influx.url });
    await readyOf(service);
    const gateway = await gatewayAt(broker.url);
    const startMs = Date.now();
    await publishFilm(gateway, { startMs, from: 0, to: 25, inStep: true });
    await influx.stop();
    await publishFilm(gateway, { startMs, from: 25, to: 50, inStep: true });
    const down = await eventually(async () => {
      const { replica } = (await service.json<WindersBody>('/api/winders')).service;
      return replica.state === 'down' ? replica : undefined;
    }, 'the replica is shown as down');
    expect(down.behindRows).toBeGreaterThan(0);
    await eventually(
      async () => ((await storedSpeeds(service, startMs)) === 50 ? true : undefined),
      '50 speeds here',
    );
    await influx.start();
    await publishFilm(gateway, { startMs, from: 50, to: 60, inStep: true });
    await eventually(
      async () => ((await countIn(influx)) === 60 ? true : undefined),
      '60 speeds in the database',
      90_000,
    );
  });

  it('may be absent: everything works without it', async () => {
    const path = folder();
    const broker = await brokerWith();
    const service = await serviceFor(path, broker.url, { INFLUX_URL: 'http://127.0.0.1:1' });
    await readyOf(service);
    const gateway = await gatewayAt(broker.url);
    const startMs = Date.now();
    await publishFilm(gateway, { startMs, from: 0, to: 20, inStep: true });
    await eventually(
      async () => ((await storedSpeeds(service, startMs)) === 20 ? true : undefined),
      '20 speeds',
    );
  });
});

describe('the data directory', () => {
  it('belongs to one process: a second one is refused and names the first', async () => {
    const path = folder();
    const broker = await brokerWith();
    await serviceFor(path, broker.url);
    const second = await refusedStart({
      DATA_DIR: join(path, 'data'),
      PLANT_FILE: join(path, 'plant.yaml'),
      MQTT_URL: broker.url,
    });
    expect(second.code).toBe(1);
    expect(second.output).toMatch(/process \d+/);
  });

  it.runIf(process.getuid?.() === 0 && spawnSync('mount', ['--version']).status === 0)(
    'may become full: nothing is acknowledged that is not kept, and work goes on when there is room again',
    async () => {
      const path = folder();
      const disk = join(path, 'data');
      mkdirSync(disk);
      const mounted = spawnSync('mount', ['-t', 'tmpfs', '-o', 'size=12m', 'tmpfs', disk]);
      expect(mounted.status, mounted.stderr.toString()).toBe(0);
      endings.push(() => void spawnSync('umount', [disk]));
      const broker = await brokerWith();
      const service = await serviceFor(path, broker.url);
      await readyOf(service);
      const gateway = await gatewayAt(broker.url);
      const startMs = Date.now();
      await publishFilm(gateway, { startMs, from: 0, to: 20, inStep: true });
      const filler = join(disk, 'filler');
      spawnSync('dd', ['if=/dev/zero', `of=${filler}`, 'bs=64k', 'count=400']);
      const going = publishFilm(gateway, { startMs, from: 20, to: 70, inStep: true });
      const why = await eventually(
        async () => {
          const text = await whyNotReady(service);
          return text.includes('"journal"') || text.includes('"store"') ? text : undefined;
        },
        'the full disk is noticed',
        60_000,
      );
      expect(why).toMatch(/full/i);
      expect((await service.get('/health/live')).status).toBe(200);
      await going;
      rmSync(filler);
      await eventually(
        async () => {
          const stored = await storedSpeeds(service, startMs);
          if (stored === 70) return true;
          throw new Error(`${stored} so far; ${service.output().slice(-3000)}`);
        },
        'all 70 speeds',
        90_000,
      );
      await readyOf(service);
    },
  );
});

describe('a bad setting or plant file', () => {
  it.each([
    [{ HTTP_PORT: 'eighty' }, /^HTTP_PORT: "eighty" was given; what is right/],
    [{ MQTT_URLS: 'x' }, /^MQTT_URLS: "x" was given, but there is no such setting/],
    [
      { PLANT_FILE: '/nowhere.yaml', MQTT_URL: 'mqtt://127.0.0.1' },
      /^PLANT_FILE: "\/nowhere.yaml" was given, but it cannot be read/,
    ],
  ])('stops the start with exit code 2 and one line: %j', async (env, line) => {
    const { code, output } = await refusedStart({
      ...(env as unknown as Record<string, string>),
      DATA_DIR: folder(),
    });
    expect(code).toBe(2);
    expect(output.trim()).toMatch(line);
    expect(output.trim().split('\n')).toHaveLength(1);
  });

  it('names the first problem of a plant file that cannot be used', async () => {
    const path = folder();
    writeFileSync(
      join(path, 'plant.yaml'),
      filmPlant.replace('combinedRoughnessM: 0.5e-6', 'combinedRoughnessM: -1'),
    );
    const { code, output } = await refusedStart({
      PLANT_FILE: join(path, 'plant.yaml'),
      MQTT_URL: 'mqtt://127.0.0.1',
      DATA_DIR: join(path, 'data'),
    });
    expect(code).toBe(2);
    expect(output).toMatch(/PLANT_FILE: .*1 problem.*combinedRoughnessM/);
  });
});
