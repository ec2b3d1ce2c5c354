import type { LinkRow } from '@edge-margin/telemetry';
import { connect, type MqttClient } from 'mqtt';
import { afterEach, describe, expect, it, vi } from 'vitest';
import type { BrokerClientOptions } from '../../apps/monitor/src/ingest/broker-client-options.js';
import { startTicks } from '../../apps/monitor/src/ingest/ticks.js';
import { type Ingest, startIngest as startIngestAt } from '../services/support/ingest.js';
import { type Mosquitto, startMosquitto } from '../services/support/mosquitto.js';
import { startRecordingProxy } from './journal-recording-proxy.js';

/** Limits are there for what hangs; a busy machine may take its time. */
const patienceMs = 30_000;

let broker: Mosquitto;
const undo: (() => Promise<unknown>)[] = [];
afterEach(async () => {
  for (const step of undo.splice(0).reverse()) await step();
});

async function startBroker(access?: string): Promise<void> {
  broker = await startMosquitto(access === undefined ? {} : { access });
  undo.push(broker.dispose);
}

async function startGateway(): Promise<MqttClient> {
  const gateway = connect(broker.url, { protocolVersion: 5, clientId: 'gateway', reconnectPeriod: 100 });
  undo.push(() => gateway.endAsync(true));
  await new Promise((resolve) => gateway.once('connect', resolve));
  return gateway;
}

async function startIngest(options: Partial<BrokerClientOptions> = {}): Promise<Ingest> {
  const ingest = await startIngestAt({ url: broker.url, ...options });
  undo.push(ingest.stop);
  return ingest;
}

const subscribed = ({ client }: Ingest): Promise<void> =>
  vi.waitFor(() => expect(client.subscriptions().granted.length).toBeGreaterThan(0), patienceMs);
const texts = (ingest: Ingest): readonly string[] => ingest.texts();
const links = (ingest: Ingest): readonly LinkRow[] => ingest.links();

describe('a broker that is killed and comes back', () => {
  it('is connected to again, and the journal says when it was away and whether it kept the session', async () => {
    await startBroker('allow_anonymous true\nautosave_interval 1');
    const ingest = await startIngest();
    await subscribed(ingest);
    const gateway = await startGateway();
    await gateway.publishAsync('plant/w1/m/speed', 'before', { qos: 1 });
    await vi.waitFor(() => expect(texts(ingest)).toEqual(['before']), patienceMs);
    // Time for the broker to save the session; without it a killed Mosquitto forgets sessions of the last half hour.
    await new Promise((resolve) => setTimeout(resolve, 2500));
    await broker.kill();
    await vi.waitFor(() => expect(ingest.client.link().detail).toContain('ECONNREFUSED'), patienceMs);
    await broker.start();
    await vi.waitFor(() => expect(ingest.client.link().state).toBe('up'), patienceMs);
    await vi.waitFor(() => expect(gateway.connected).toBe(true), patienceMs);
    await gateway.publishAsync('plant/w1/m/speed', 'after', { qos: 1 });
    await vi.waitFor(() => expect(texts(ingest)).toContain('after'), patienceMs);
    expect(links(ingest).map(({ state }) => state)).toEqual(['up', 'down', 'down', 'up']);
    expect(links(ingest).at(-1)?.sessionPresent).toBe(true);
  });

  it('that has lost the session is subscribed to anew, and the loss is in the journal', async () => {
    await startBroker();
    const ingest = await startIngest();
    await subscribed(ingest);
    await broker.kill();
    await vi.waitFor(() => expect(ingest.client.link().state).toBe('down'), patienceMs);
    await broker.start();
    await vi.waitFor(() => expect(ingest.client.link().state).toBe('up'), patienceMs);
    expect(links(ingest).at(-1)).toMatchObject({ state: 'up', sessionPresent: false });
    const gateway = await startGateway();
    await vi.waitFor(async () => {
      await gateway.publishAsync('plant/w1/m/speed', 'after', { qos: 1 });
      expect(texts(ingest)).toContain('after');
    }, patienceMs);
  });
});

describe('two clients with one id', () => {
  it('notice within a minute that they throw each other out', async () => {
    await startBroker();
    const one = await startIngest();
    await subscribed(one);
    const other = await startIngest();
    await vi.waitFor(
      () => expect(one.client.link().flapping || other.client.link().flapping).toBe(true),
      60_000,
    );
    const flapping = one.client.link().flapping ? one : other;
    expect(links(flapping).some(({ detail }) => detail?.includes('same client id') === true)).toBe(true);
  });
});

describe('MQTT 5 limits', () => {
  it('keep a packet over 256 KiB away, and what follows it comes', async () => {
    await startBroker();
    const ingest = await startIngest();
    await subscribed(ingest);
    const gateway = await startGateway();
    await gateway.publishAsync('plant/w1/m/wave', Buffer.alloc(300_000, 'x'), { qos: 1 });
    await gateway.publishAsync('plant/w1/m/wave', Buffer.alloc(250_000, 'x'), { qos: 1 });
    await gateway.publishAsync('plant/w1/m/speed', 'next', { qos: 1 });
    await vi.waitFor(() => expect(texts(ingest).at(-1)).toBe('next'), patienceMs);
    expect(texts(ingest).map((text) => text.length)).toEqual([250_000, 4]);
    expect(ingest.client.link().state).toBe('up');
  });

  it('of the broker are kept to when publishing, so that the connection survives', async () => {
    await startBroker('allow_anonymous true\nmax_packet_size 2000');
    const ingest = await startIngest();
    await subscribed(ingest);
    const event = { topic: 'plant/w1/alarm/margin', retain: true, qos: 1 } as const;
    await expect(ingest.client.publish({ ...event, payload: 'x'.repeat(3000) })).rejects.toMatchObject({
      code: 'too-large',
    });
    await ingest.client.publish({ ...event, payload: 'x'.repeat(1500) });
    expect(links(ingest).map(({ state }) => state)).toEqual(['up']);
  });

  it('send retained values once, not at every connection', async () => {
    await startBroker();
    const gateway = await startGateway();
    await gateway.publishAsync('plant/w1/m/limit', 'kept', { qos: 1, retain: true });
    const ingest = await startIngest();
    await vi.waitFor(() => expect(texts(ingest)).toEqual(['kept']), patienceMs);
    await ingest.client.stop();
    const again = await startIngest();
    await subscribed(again);
    await gateway.publishAsync('plant/w1/m/limit', 'live', { qos: 1 });
    await vi.waitFor(() => expect(texts(again)).toContain('live'), patienceMs);
    expect(texts(again)).toEqual(['live']);
  });
});

describe('a broker that refuses us', () => {
  it('is asked again and again, and the journal says why it refused', async () => {
    await startBroker('allow_anonymous false');
    const ingest = await startIngest();
    await vi.waitFor(() => expect(ingest.client.link().detail).toContain('0x87'), patienceMs);
    const refusals = (): number => broker.log().match(/not authorised/g)?.length ?? 0;
    // With the third one the second has long been heard.
    await vi.waitFor(() => expect(refusals()).toBeGreaterThan(2), patienceMs);
    expect(links(ingest)).toHaveLength(1);
  });
});

describe('a process that vanishes', () => {
  it('has its last word spoken by the broker', async () => {
    await startBroker();
    const gateway = await startGateway();
    const seen: string[] = [];
    gateway.on('message', (_topic, payload) => seen.push(payload.toString()));
    await gateway.subscribeAsync('plant/monitor/status', { qos: 1 });
    const status = { topic: 'plant/monitor/status', online: 'online', offline: 'offline' };
    const proxy = await startRecordingProxy(broker.port);
    const ingest = await startIngest({ status, url: proxy.url });
    await vi.waitFor(() => expect(seen).toEqual(['online']), patienceMs);
    // The connection breaks without a farewell, as when the process or its machine dies.
    await proxy.close();
    await vi.waitFor(() => expect(seen).toEqual(['online', 'offline']), patienceMs);
    expect(ingest.client.link().state).toBe('down');
  });
});

describe('catching up after an absence', () => {
  const backlog = 20_000;

  /** As on a slow machine: each message costs so much that the backlog takes some seconds, and ticks would fall into it. */
  function slowNow(): number {
    const end = performance.now() + 0.15;
    while (performance.now() < end);
    return Date.now();
  }

  it.each([
    ['with the echo', 'plant/monitor/echo'],
    ['without it', undefined],
  ])('holds ticks until the backlog is in, %s', async (_what, echoTopic) => {
    await startBroker();
    const options = echoTopic === undefined ? {} : { echoTopic };
    const before = await startIngest(options);
    await subscribed(before);
    await before.client.stop();
    const gateway = await startGateway();
    for (let n = 1; n <= backlog; n += 1) {
      const sent = gateway.publishAsync('plant/w1/m/speed', String(n), { qos: 1 });
      if (n % 200 === 0) await sent;
    }
    const ingest = await startIngest({ ...options, now: slowNow });
    const { client, journal, rows } = ingest;
    const heldAtMessage: boolean[] = [];
    journal.onAppend((row) => {
      if (row.kind === 'message') heldAtMessage.push(client.isCatchingUp());
    });
    const stopTicks = startTicks({ journal, now: Date.now, isCatchingUp: client.isCatchingUp });
    undo.push(async () => stopTicks());
    await vi.waitFor(() => expect(rows.at(-1)?.kind).toBe('tick'), 60_000);
    expect(heldAtMessage).toEqual(Array.from({ length: backlog }, () => true));
    const firstTick = rows.findIndex((row) => row.kind === 'tick');
    expect(rows.slice(0, firstTick).filter((row) => row.kind === 'message')).toHaveLength(backlog);
  });
});
