import { openStore } from '@edge-margin/store-sqlite';
import mqtt, { type MqttClient } from 'mqtt';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { backOffMs } from '../../apps/monitor/src/ingest/back-off.js';
import { eventually } from '../services/support/eventually.js';
import { filmPlant, filmSpeed } from '../services/support/film-winder.js';
import { startIngest } from '../services/support/ingest.js';
import { type Mosquitto, startMosquitto } from '../services/support/mosquitto.js';
import { dataDirectory, readyOf, type RunningService, startService } from '../services/support/service.js';
import { type RecordingProxy, startRecordingProxy } from './journal-recording-proxy.js';

const endings: (() => Promise<unknown> | void)[] = [];
afterEach(async () => {
  for (const end of endings.splice(0).reverse()) await end();
});

const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

/** A gateway that keeps what it cannot send, and sends it when the broker is back; about 100 messages a second, numbered. */
async function startGateway(url: string) {
  const client: MqttClient = await mqtt.connectAsync(url, { clientId: 'gateway', reconnectPeriod: 100 });
  endings.push(() => client.endAsync(true));
  const speeds = new Map<number, number>();
  let underWay = 0;
  let n = 0;
  const send = (topic: string, body: object): void => {
    underWay += 1;
    client.publish(topic, JSON.stringify(body), { qos: 1 }, () => (underWay -= 1));
  };
  const timer = setInterval(() => {
    const t = Date.now();
    if (speeds.has(t)) return;
    speeds.set(t, 300 + (n % 50));
    send('mill/film-9/a/drive', { t, n, v: 300 + (n % 50), d: 160, f: 120, on: 1 });
    for (const end of ['tending', 'drive'])
      send(`mill/film-9/a/nip/${end}`, { t, load: 300, peak: 1.2, swing: 3 });
    n += 1;
  }, 30);
  endings.push(() => clearInterval(timer));
  return {
    /** Speed in m/min by the source's time, of everything that was published. */
    speeds,
    stop: async (): Promise<void> => {
      clearInterval(timer);
      await eventually(() => (underWay === 0 ? true : undefined), 'the broker has everything', 60_000);
    },
  };
}

interface Kept {
  readonly speeds: ReadonlyMap<number, number>;
  /** Drive messages that are recorded as lost. */
  readonly lost: number;
  readonly sessionsLost: number;
}

/** What the store holds after the service has ended. */
function keptIn(directory: string): Kept {
  const store = openStore(join(directory, 'store.sqlite'));
  const { points } = store.series.query({
    id: filmSpeed,
    fromMs: 0,
    toMs: Date.now() + 60_000,
    maxPoints: 100_000,
  });
  const gaps = store.gaps.query({ what: 'messages', limit: 1000 });
  store.close();
  const lost = gaps.filter(({ because }) => because.code === 'messages-lost');
  return {
    speeds: new Map(points.map(([atMs, value]) => [atMs, Math.round(Number(value) * 60)])),
    lost: lost.reduce((sum, { count }) => sum + (count ?? 0), 0),
    sessionsLost: gaps.filter(({ because }) => because.code === 'session-lost').length,
  };
}

async function lastStored(service: RunningService, atMs: number): Promise<true | undefined> {
  const answer = await service.json<{ series: { points: (readonly [number, number])[] }[] }>(
    `/api/winders/film-9/series?station=a&field=reading:speed&from=${atMs - 1000}&to=${atMs + 1000}&maxPoints=1000`,
  );
  return answer.series[0]?.points.some(([at]) => at === atMs) === true ? true : undefined;
}

/** Lets a gateway publish through a broker that goes away three times, and gives what was published, acknowledged and kept. */
async function outages(goAway: (broker: Mosquitto, proxy: RecordingProxy, round: number) => Promise<void>) {
  const data = dataDirectory();
  endings.push(data.remove);
  const directory = join(data.path, 'data');
  const plantFile = join(data.path, 'plant.yaml');
  writeFileSync(plantFile, filmPlant);
  const broker = await startMosquitto();
  endings.push(broker.dispose);
  const proxy = await startRecordingProxy(broker.port);
  endings.push(proxy.close);
  const service = await startService({
    DATA_DIR: directory,
    PLANT_FILE: plantFile,
    MQTT_URL: proxy.url,
    LOG_LEVEL: 'warn',
  });
  endings.push(service.stop);
  await readyOf(service);
  const gateway = await startGateway(broker.url);
  for (const [round, awayMs] of [300, 1500, 700].entries()) {
    await pause(1500);
    await goAway(broker, proxy, round);
    await pause(awayMs);
    await broker.start();
    proxy.mend();
  }
  await pause(2500);
  await readyOf(service);
  await pause(500);
  await gateway.stop();
  const lastMs = Math.max(...gateway.speeds.keys());
  await eventually(() => lastStored(service, lastMs), 'the last speed is stored', 60_000);
  expect(await service.stop()).toBe(0);
  const acknowledged = [...proxy.acknowledged]
    .filter((payload) => payload.startsWith('{'))
    .map((payload) => JSON.parse(payload) as { readonly t: number; readonly v?: number })
    .filter(({ v }) => v !== undefined);
  return { published: gateway.speeds, acknowledged, kept: keptIn(directory) };
}

describe('a broker that goes away three times under load', () => {
  it('in good order: every value is kept, none twice, and no loss is recorded', async () => {
    const { published, kept } = await outages((broker) => broker.stop());
    expect(published.size).toBeGreaterThan(200);
    expect(kept.lost).toBe(0);
    expect(kept.sessionsLost).toBe(0);
    expect(kept.speeds).toEqual(published);
  });

  it('by kill -9: every value that we acknowledged is kept, none twice, and what the broker lost is recorded, message by message', async () => {
    const { published, acknowledged, kept } = await outages(async (broker, proxy, round) => {
      // The first time it is killed while it hands on all it has; then with messages for us that it cannot get rid of.
      if (round > 0) proxy.sever();
      await pause(round * 400);
      await broker.kill();
    });
    expect(acknowledged.length).toBeGreaterThan(50);
    for (const { t, v } of acknowledged) expect(kept.speeds.get(t), `speed at ${t}`).toBe(v);
    for (const [t, v] of kept.speeds) expect(published.get(t), `speed at ${t}`).toBe(v);
    expect(kept.lost).toBeGreaterThan(0);
    expect(kept.speeds.size + kept.lost).toBe(published.size);
    // A Mosquitto that is killed has not saved its sessions either; two kills between two connections of ours are one loss.
    expect(kept.sessionsLost).toBeGreaterThan(0);
  });
});

describe('a broker that is away for ten minutes', () => {
  // Compressed a hundred times: the client's clock and its pauses before connecting again. Ten minutes take six seconds, with as many attempts
  // as ten minutes have. Not compressed: what the gateway has kept meanwhile, 12 000 messages, 20 for each of the 600 s.
  const timesFaster = 100;

  it('is tried again at growing pauses, no oftener than needed, and everything the gateway kept comes, once', async () => {
    const broker = await startMosquitto();
    endings.push(broker.dispose);
    const beginMs = Date.now();
    let attempts = 0;
    const ingest = await startIngest({
      url: broker.url,
      now: () => beginMs + (Date.now() - beginMs) * timesFaster,
      answerTimeoutMs: 15_000 * timesFaster,
      pauseMs: (failures) => {
        attempts += 1;
        return backOffMs(failures, Math.random()) / timesFaster;
      },
    });
    endings.push(ingest.stop);
    await eventually(
      () => (ingest.client.subscriptions().granted.length > 0 ? true : undefined),
      'subscribed',
    );
    await broker.stop();
    attempts = 0;
    await pause(600_000 / timesFaster);
    const inTenMinutes = attempts;
    expect(ingest.client.link()).toMatchObject({
      state: 'down',
      detail: expect.stringContaining('ECONNREFUSED') as string,
    });
    // One at 0.5 to 1 s, then 1 to 2, 2 to 4, 4 to 8, 8 to 16, and every 15 to 30 s from there on: 24 to 44, or fewer where this machine is busy.
    expect(inTenMinutes).toBeGreaterThan(10);
    expect(inTenMinutes).toBeLessThan(45);
    await broker.start();
    const gateway = await mqtt.connectAsync(broker.url, { clientId: 'gateway' });
    endings.push(() => gateway.endAsync(true));
    const kept = Array.from({ length: 12_000 }, (_, n) => String(n));
    for (let from = 0; from < kept.length; from += 500) {
      const some = kept.slice(from, from + 500);
      await Promise.all(some.map((n) => gateway.publishAsync('plant/w1/m/speed', n, { qos: 1 })));
    }
    await eventually(() => (ingest.texts().length >= kept.length ? true : undefined), 'all of it', 60_000);
    expect(ingest.texts()).toEqual(kept);
    expect(ingest.links().at(-1)).toMatchObject({ state: 'up', sessionPresent: true });
    expect(ingest.troubles()).toEqual([]);
  });
});
