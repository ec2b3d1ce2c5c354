import { type Journal, openJournal } from '@edge-margin/journal';
import type { JournalRow, LinkRow, MessageRow } from '@edge-margin/telemetry';
import { Aedes } from 'aedes';
import { connect, type MqttClient } from 'mqtt';
import { mkdtempSync, rmSync } from 'node:fs';
import { type AddressInfo, createServer, type Server } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { type BrokerClient, createBrokerClient } from './broker-client.js';
import type { BrokerClientOptions } from './broker-client-options.js';
import type { PublishError } from './publisher.js';

// The embedded broker speaks MQTT 3.1.1 only; what is particular to MQTT 5 is tested against Mosquitto in tests/faults.

let directory: string;
let journal: Journal;
let rows: JournalRow[];
let broker: Aedes;
let server: Server;
let url: string;
let client: BrokerClient;
let gateway: MqttClient;
const warnings: string[] = [];

beforeEach(async () => {
  directory = mkdtempSync(join(tmpdir(), 'edge-margin-ingest-'));
  journal = await openJournal({ directory });
  rows = [];
  journal.onAppend((row) => rows.push(row));
  broker = await Aedes.createBroker();
  server = createServer(broker.handle);
  await listen(0);
  url = `mqtt://127.0.0.1:${(server.address() as AddressInfo).port}`;
  gateway = connect(url, { clientId: 'gateway', username: 'gateway', password: 'right' });
});
afterEach(async () => {
  await client.stop();
  await gateway.endAsync(true);
  await new Promise<void>((resolve) => broker.close(resolve));
  await new Promise((resolve) => server.close(resolve));
  await journal.close();
  rmSync(directory, { recursive: true });
});

function listen(port: number): Promise<void> {
  return new Promise((resolve) => server.listen(port, '127.0.0.1', resolve));
}

async function start(options: Partial<BrokerClientOptions> = {}): Promise<void> {
  client = createBrokerClient({
    url,
    clientId: 'monitor',
    subscriptions: ['plant/#'],
    protocolVersion: 4,
    journal,
    now: Date.now,
    log: { info: () => undefined, warn: (_fields, text) => warnings.push(text) },
    random: () => 0,
    ...options,
  });
  client.start();
  await vi.waitFor(() => expect(client.subscriptions().granted.length).toBeGreaterThan(0), 5000);
}

const messages = (): MessageRow[] => rows.filter((row) => row.kind === 'message');
const links = (): LinkRow[] => rows.filter((row) => row.kind === 'link');
const text = (row: MessageRow | undefined): string => Buffer.from(row?.payload ?? []).toString();

describe('taking messages in', () => {
  it('appends the link, then a row a message with what the broker said about it', async () => {
    await gateway.publishAsync('plant/w1/limits', 'old', { qos: 1, retain: true });
    await start();
    await gateway.publishAsync('plant/w1/speed', '20.5', { qos: 1 });
    await gateway.publishAsync('plant/w1/note', '', { qos: 0 });
    await vi.waitFor(() => expect(messages()).toHaveLength(3));
    expect(rows[0]).toMatchObject({ position: 1, kind: 'link', state: 'up', sessionPresent: false });
    expect(messages().map((row) => [row.topic, text(row), row.qos, row.retain])).toEqual([
      ['plant/w1/limits', 'old', 1, true],
      ['plant/w1/speed', '20.5', 1, false],
      ['plant/w1/note', '', 0, false],
    ]);
    expect(client.received().messages).toBe(3);
  });

  it('acknowledges a message when it is on disk, not before', async () => {
    // The disk stands still from here on: the news that rows are on it is kept back.
    const heldNews: (() => void)[] = [];
    let durable = 0;
    const onDurable: Journal['onDurable'] = (listener) => {
      return journal.onDurable((position) => {
        heldNews.push(() => {
          durable = position;
          listener(position);
        });
      });
    };
    const release = (): void => heldNews.splice(0).forEach((tell) => tell());
    const thawing = setInterval(release, 5);
    await start({ journal: { ...journal, durable: () => durable, onDurable } });
    clearInterval(thawing);
    const acknowledged: string[] = [];
    broker.on('ack', (packet) => acknowledged.push('topic' in packet ? packet.topic : ''));
    await gateway.publishAsync('plant/w1/speed', '20.5', { qos: 1 });
    await vi.waitFor(() => expect(messages()).toHaveLength(1));
    await new Promise((resolve) => setTimeout(resolve, 200));
    expect(acknowledged).toEqual([]);
    release();
    await vi.waitFor(() => expect(acknowledged).toEqual(['plant/w1/speed']));
  });

  it('keeps a payload over the limit up to one byte beyond it', async () => {
    await start();
    await gateway.publishAsync('plant/w1/wave', Buffer.alloc(300_000, 'x'), { qos: 1 });
    await vi.waitFor(() => expect(messages()).toHaveLength(1));
    expect(messages()[0]?.payload).toHaveLength(262_145);
    expect(client.received().oversize).toBe(1);
  });

  it('finds in its session what came while it was away', async () => {
    await start();
    await client.stop();
    await journal.flush();
    await gateway.publishAsync('plant/w1/speed', 'meanwhile', { qos: 1 });
    await start();
    await vi.waitFor(() => expect(messages().map(text)).toEqual(['meanwhile']));
    expect(links().map(({ state, sessionPresent, detail }) => [state, sessionPresent ?? detail])).toEqual([
      ['up', false],
      ['down', 'stopped'],
      ['up', true],
    ]);
  });
});

describe('the connection', () => {
  it('comes back by itself, and says so in the journal', async () => {
    await start();
    const { port } = server.address() as AddressInfo;
    for (const one of Object.values(
      (broker as unknown as { clients: Record<string, { close: () => void }> }).clients,
    ))
      one.close();
    server.close();
    await vi.waitFor(() => expect(client.link().state).toBe('down'));
    await vi.waitFor(() => expect(client.link().detail).toContain('ECONNREFUSED'), 5000);
    server = createServer(broker.handle);
    await listen(port);
    await vi.waitFor(() => expect(client.link().state).toBe('up'), 10_000);
    expect(links().map(({ state }) => state)).toEqual(['up', 'down', 'down', 'up']);
    expect(links().at(-1)?.sessionPresent).toBe(true);
  }, 20_000);

  it('tells of a wrong password, and connects once it is right', async () => {
    let rightPassword = 'another';
    broker.authenticate = (one, _name, password, done) => {
      const isRight = one.id === 'gateway' || password?.toString() === rightPassword;
      done(isRight ? null : Object.assign(new Error('refused'), { returnCode: 4 }), isRight);
    };
    const starting = start({ username: 'monitor', password: 'secret' });
    await vi.waitFor(() => expect(client.link().detail).toContain('bad user name or password'));
    expect(links()).toMatchObject([
      {
        state: 'down',
        detail: expect.stringMatching(/^the broker refused the connection: .*0x04/) as string,
      },
    ]);
    rightPassword = 'secret';
    await starting;
    expect(client.link().state).toBe('up');
  });

  it('tells which subscriptions the broker refused', async () => {
    broker.authorizeSubscribe = (_one, subscription, done) =>
      done(null, subscription.topic === 'secret/#' ? null : subscription);
    await start({ subscriptions: ['plant/#', 'secret/#'] });
    expect(client.subscriptions()).toEqual({
      granted: ['plant/#'],
      refused: [{ filter: 'secret/#', reasonCode: 0x80 }],
    });
    expect(warnings).toContain('the broker refused subscriptions');
  });

  it('tells others whether it is there', async () => {
    const seen: string[] = [];
    gateway.on('message', (_topic, payload) => seen.push(payload.toString()));
    await gateway.subscribeAsync('plant/monitor/status');
    const status = { topic: 'plant/monitor/status', online: 'online', offline: 'offline' };
    await start({ subscriptions: ['plant/+/speed'], status });
    await vi.waitFor(() => expect(seen).toEqual(['online']));
    await client.stop();
    await vi.waitFor(() => expect(seen).toEqual(['online', 'offline']));
  });
});

describe('publishing', () => {
  const event = { topic: 'plant/w1/alarm/margin', payload: '{}', retain: true, qos: 1 } as const;

  it('resolves when the broker has it', async () => {
    await start({ subscriptions: ['plant/+/speed'] });
    await client.publish(event);
    await gateway.subscribeAsync('plant/w1/alarm/#');
    const [, payload] = await new Promise<[string, Buffer]>((resolve) =>
      gateway.once('message', (topic, bytes) => resolve([topic, bytes])),
    );
    expect(payload.toString()).toBe('{}');
  });

  it('is refused without a connection, where it is too large, and to a topic with wildcards', async () => {
    await start();
    const payload = Buffer.alloc(262_144);
    await expect(client.publish({ ...event, payload })).rejects.toMatchObject({ code: 'too-large' });
    await expect(client.publish({ ...event, topic: 'plant/+/alarm' })).rejects.toThrow(RangeError);
    await client.stop();
    await expect(client.publish(event)).rejects.toMatchObject({ code: 'not-connected' });
  });

  it('is refused above a number of unacknowledged messages, and told when the link is lost', async () => {
    await start();
    broker.authorizePublish = () => undefined;
    const publishing = Array.from({ length: 51 }, (_, n) =>
      client.publish({ ...event, payload: String(n) }).then(
        () => 'published',
        (error: unknown) => (error as PublishError).code,
      ),
    );
    expect(await publishing[50]).toBe('busy');
    await client.stop();
    expect(await Promise.all(publishing.slice(0, 50))).toEqual(Array.from({ length: 50 }, () => 'link-lost'));
  }, 15_000);
});

describe('catching up', () => {
  it('ends with the echo, which is not journaled', async () => {
    await start({ subscriptions: ['plant/+/speed'], echoTopic: 'plant/monitor/echo' });
    expect(client.subscriptions().granted).toContain('plant/monitor/echo');
    await vi.waitFor(() => expect(client.isCatchingUp()).toBe(false), { timeout: 900 });
    expect(messages()).toEqual([]);
  });

  it('ends after two quiet seconds without one', async () => {
    await start();
    expect(client.isCatchingUp()).toBe(true);
    await vi.waitFor(() => expect(client.isCatchingUp()).toBe(false), { timeout: 4500, interval: 100 });
  });
});
