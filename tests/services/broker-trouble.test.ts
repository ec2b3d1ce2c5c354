import mqtt, { type MqttClient } from 'mqtt';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { BrokerClientOptions } from '../../apps/monitor/src/ingest/broker-client-options.js';
import { sessionFiltersIn } from '../../apps/monitor/src/ingest/session-filters.js';
import type { SilenceGap } from '../../apps/monitor/src/ingest/silence-gap.js';
import { eventually } from './support/eventually.js';
import { type Ingest, startIngest } from './support/ingest.js';
import { type Mosquitto, startMosquitto } from './support/mosquitto.js';
import {
  accepted,
  disconnect,
  granted,
  message,
  published,
  type Script,
  startScriptedBroker,
} from './support/scripted-broker.js';

const endings: (() => Promise<unknown> | void)[] = [];
let directory: string;
beforeEach(() => {
  directory = mkdtempSync(join(tmpdir(), 'edge-margin-trouble-'));
  endings.push(() => rmSync(directory, { recursive: true }));
});
afterEach(async () => {
  for (const end of endings.splice(0).reverse()) await end();
});

/** An access list for clients without a name: what stands in it is allowed, nothing else. */
const accessList = (lines: string): void => writeFileSync(join(directory, 'acl'), lines, { mode: 0o644 });
async function brokerWithAccessList(lines: string): Promise<Mosquitto> {
  accessList(lines);
  return broker(`allow_anonymous true\nacl_file ${directory}/acl`);
}

async function broker(access?: string): Promise<Mosquitto> {
  const started = await startMosquitto(access === undefined ? {} : { access });
  endings.push(started.dispose);
  return started;
}

async function ingest(options: Partial<BrokerClientOptions> & { readonly url: string }): Promise<Ingest> {
  const started = await startIngest(options);
  endings.push(started.stop);
  return started;
}

async function gatewayAt(url: string): Promise<MqttClient> {
  const client = await mqtt.connectAsync(url, { clientId: 'gateway', reconnectPeriod: 100 });
  endings.push(() => client.endAsync(true));
  return client;
}

/** Instead of twenty seconds. */
const silentAfterMs = 2000;

const trouble = (one: Ingest, code: string): Promise<string> =>
  eventually(
    () => one.client.trouble().find((found) => found.code === code)?.text,
    `trouble ${code}`,
    40_000,
  );
const none = (one: Ingest): Promise<true> =>
  eventually(() => (one.client.trouble().length === 0 ? true : undefined), 'no trouble', 40_000);
const subscribed = (one: Ingest): Promise<true> =>
  eventually(() => (one.client.subscriptions().granted.length > 0 ? true : undefined), 'subscribed');

describe('a broker that grants and withholds', () => {
  const expected = [{ filter: 'plant/+/m/speed', periodS: 0.2 }];

  it('is noticed: subscribed, but mute; and heard again when the access list is mended', async () => {
    const withholding = await brokerWithAccessList('topic write plant/#\n');
    const gaps: SilenceGap[] = [];
    const one = await ingest({
      url: withholding.url,
      silentAfterMs,
      expected,
      onSilence: (gap) => gaps.push(gap),
    });
    await subscribed(one);
    const gateway = await gatewayAt(withholding.url);
    const sending = setInterval(() => gateway.publish('plant/w1/m/speed', '1', { qos: 1 }), 100);
    endings.push(() => clearInterval(sending));
    expect(await trouble(one, 'mute')).toContain('its access list');
    expect(one.client.link().state).toBe('up');
    expect(one.client.trouble()[0]).toMatchObject({ blocks: true, loses: true });
    expect(one.warnings.some((warning) => warning.includes('nothing comes on plant/+/m/speed'))).toBe(true);
    expect(gaps).toMatchObject([{ what: 'messages', because: { code: 'nothing-came' } }]);
    expect(one.texts()).toEqual([]);
    accessList('topic readwrite plant/#\n');
    await withholding.stop();
    await withholding.start();
    await none(one);
    expect(new Set(gaps.map(({ id }) => id)).size).toBe(1);
    expect(gaps.at(-1)?.toMs).toBeGreaterThan(gaps[0]?.toMs ?? Infinity);
  });

  it('for one of several sources leaves the service ready, and names that source', async () => {
    const withholding = await brokerWithAccessList('topic write plant/#\ntopic read plant/w1/#\n');
    const one = await ingest({
      url: withholding.url,
      silentAfterMs,
      subscriptions: ['plant/#'],
      expected: [
        { filter: 'plant/w1/#', periodS: 0.2 },
        { filter: 'plant/w2/#', periodS: 0.2 },
      ],
    });
    await subscribed(one);
    const gateway = await gatewayAt(withholding.url);
    const sending = setInterval(() => {
      for (const winder of ['w1', 'w2']) gateway.publish(`plant/${winder}/m/speed`, '1', { qos: 1 });
    }, 100);
    endings.push(() => clearInterval(sending));
    expect(await trouble(one, 'mute-source')).toContain('nothing comes on plant/w2/#');
    expect(one.client.trouble().map(({ blocks }) => blocks)).toEqual([false]);
  });

  it('is not taken for mute because of a retained value from the past', async () => {
    const withholding = await broker();
    const gateway = await gatewayAt(withholding.url);
    await gateway.publishAsync('plant/w1/m/speed', 'old', { qos: 1, retain: true });
    const one = await ingest({ url: withholding.url, silentAfterMs, expected });
    await trouble(one, 'mute');
    expect(one.texts()).toEqual(['old']);
  });

  it('may also refuse to take what we publish, which is told with the topic', async () => {
    const refusing = await brokerWithAccessList('topic read plant/#\n');
    const status = { topic: 'edge-margin/site/status', online: 'on', offline: 'off' };
    const one = await ingest({ url: refusing.url, status });
    expect(await trouble(one, 'publish-refused')).toMatch(/edge-margin\/site\/status: not authorised.*0x87/);
  });
});

describe('a broker that says nothing', () => {
  const silent = async (script: Script, filters = 1) => {
    const scripted = await startScriptedBroker(script);
    endings.push(scripted.close);
    const subscriptions = Array.from({ length: filters }, (_, index) => `plant/${index}`);
    const one = await ingest({ url: scripted.url, subscriptions, answerTimeoutMs: 1000 });
    return { scripted, one };
  };

  it('to a connection is given up and tried again, with the reason', async () => {
    const { scripted, one } = await silent({});
    expect(await trouble(one, 'link-down')).toContain('took the connection and then said nothing for 1 s');
    await eventually(() => (scripted.connections() > 1 ? true : undefined), 'a second attempt');
    scripted.follow({ connect: () => accepted, subscribe: granted(1) });
    await none(one);
  });

  it('to a subscription is given up and tried again, and the trouble lasts until it answers', async () => {
    const { scripted, one } = await silent({ connect: () => accepted });
    expect(await trouble(one, 'link-down')).toContain('did not answer our subscription within 1 s');
    expect(await trouble(one, 'subscribe-unanswered')).toContain('does not answer our subscription');
    expect(one.client.link().state).toBe('up');
    scripted.follow({ connect: () => accepted, subscribe: granted(1) });
    await subscribed(one);
    expect(one.troubles()).not.toContain('subscribe-unanswered');
    scripted.send(message('plant/0', 'heard'));
    await eventually(() => (one.texts().includes('heard') ? true : undefined), 'a message');
  });

  it('to a subscription because it first sends a long backlog is let be', async () => {
    const { scripted, one } = await silent({ connect: () => accepted });
    await eventually(() => (one.client.link().state === 'up' ? true : undefined), 'up');
    const sending = setInterval(() => scripted.send(message('plant/0', 'backlog')), 50);
    endings.push(() => clearInterval(sending));
    await eventually(() => (one.texts().length >= 60 ? true : undefined), 'three seconds of backlog');
    expect(one.links().map(({ state }) => state)).toEqual(['up']);
    expect(one.troubles()).toEqual([]);
    expect(scripted.connections()).toBe(1);
  });

  it('any more, not even to pings, is left after one and a half keepalives', async () => {
    const scripted = await startScriptedBroker({ connect: () => accepted, subscribe: granted(1) });
    endings.push(scripted.close);
    const one = await ingest({ url: scripted.url, keepaliveS: 1 });
    await subscribed(one);
    expect(await trouble(one, 'link-down')).toBe('the broker did not answer any more, not even to a ping');
  });
});

describe('a broker that ends the connection over a large packet, having announced no limit', () => {
  it('is sent none as large a second time', async () => {
    const scripted = await startScriptedBroker({
      connect: () => accepted,
      subscribe: granted(1),
      publish: (body) => (body.length > 1000 ? disconnect(0x95) : published(body)),
    });
    endings.push(scripted.close);
    const one = await ingest({ url: scripted.url });
    await subscribed(one);
    const event = { topic: 'edge-margin/site/alarm', retain: true, qos: 1 } as const;
    const large = { ...event, payload: 'x'.repeat(3000) };
    await expect(one.client.publish(large)).rejects.toMatchObject({ code: 'link-lost' });
    expect(one.links().at(-1)?.detail).toContain('a packet was larger than it takes (0x95)');
    await subscribed(one);
    await expect(one.client.publish(large)).rejects.toMatchObject({ code: 'too-large' });
    await one.client.publish({ ...event, payload: 'small' });
    expect(one.links().map(({ state }) => state)).toEqual(['up', 'down', 'up']);
    expect(one.troubles()).toEqual(['session-lost', 'publish-too-large']);
  });
});

describe('a second client with our id', () => {
  it('is told of where the broker gives that as the reason (0x8E)', async () => {
    const scripted = await startScriptedBroker({ connect: () => accepted, subscribe: granted(1) });
    endings.push(scripted.close);
    const one = await ingest({ url: scripted.url, clientId: 'twin' });
    await subscribed(one);
    scripted.send(disconnect(0x8e));
    expect(await trouble(one, 'taken-over')).toContain('client id twin');
    expect(one.links().find(({ state }) => state === 'down')?.detail).toContain('0x8E');
  });

  it('is suspected of a real Mosquitto, which gives no reason, within a minute', async () => {
    const real = await broker();
    const [one, other] = [await ingest({ url: real.url }), await ingest({ url: real.url })];
    const text = await eventually(
      () =>
        [...one.client.trouble(), ...other.client.trouble()].find(({ code }) =>
          ['taken-over', 'link-flapping'].includes(code),
        )?.text,
      'a second client is suspected',
      60_000,
    );
    expect(text).toContain('client id monitor');
  });
});

describe('a session', () => {
  it('that the broker has lost is told of as a loss, and stands in the journal', async () => {
    const real = await broker();
    const one = await ingest({ url: real.url });
    await subscribed(one);
    expect(one.troubles()).toEqual([]);
    await real.kill();
    await trouble(one, 'link-down');
    await real.start();
    expect(await trouble(one, 'session-lost')).toContain('had not kept our session');
    expect(one.links().at(-1)).toMatchObject({ state: 'up', sessionPresent: false });
  });

  it('that is lost while a killed service is away is a loss since that service was last alive', async () => {
    const real = await broker();
    const killed = await ingest({ url: real.url });
    await subscribed(killed);
    const gateway = await gatewayAt(real.url);
    await gateway.publishAsync('plant/w1/m/speed', 'last', { qos: 1 });
    const last = await eventually(() => killed.rows.find((row) => row.kind === 'message'), 'a message');
    await killed.journal.flush();
    // A new process on the old journal, whose end nobody has noted; the broker knows nothing of the new client id.
    const next = await ingest({ url: real.url, clientId: 'monitor-2', journal: killed.journal });
    expect(await trouble(next, 'session-lost')).toContain('had not kept our session');
    expect(next.client.trouble()[0]?.sinceMs).toBe(last.arrivedAtMs);
    const ended = killed.links().find(({ detail }) => detail === 'the service ended without saying so');
    expect(ended?.arrivedAtMs).toBe(last.arrivedAtMs);
  });

  it('keeps no subscriptions that the plant file no longer names', async () => {
    const real = await broker();
    const path = join(directory, 'broker-session.json');
    const session = () => sessionFiltersIn(path, { url: real.url, clientId: 'monitor' });
    const before = await ingest({ url: real.url, session: session(), subscriptions: ['plant/#', 'old/+'] });
    await subscribed(before);
    await before.client.stop();
    const gateway = await gatewayAt(real.url);
    const after = await ingest({ url: real.url, session: session(), subscriptions: ['plant/#'] });
    await subscribed(after);
    expect(after.links().at(-1)?.sessionPresent).toBe(true);
    await eventually(() => (readFileSync(path, 'utf8').includes('old/+') ? undefined : true), 'unsubscribed');
    await gateway.publishAsync('old/thing', 'unwanted', { qos: 1 });
    await gateway.publishAsync('plant/thing', 'wanted', { qos: 1 });
    await eventually(() => (after.texts().includes('wanted') ? true : undefined), 'a message');
    expect(after.texts()).toEqual(['wanted']);
  });
});
