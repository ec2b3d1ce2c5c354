import { readPlant } from '@edge-margin/plant';
import { subscriptions } from '@edge-margin/telemetry';
import mqtt, { type IClientOptions, type MqttClient } from 'mqtt';
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { BrokerClientOptions } from '../../apps/monitor/src/ingest/broker-client-options.js';
import { type Authority, makeAuthority } from './support/certificates.js';
import { eventually } from './support/eventually.js';
import { type Ingest, startIngest } from './support/ingest.js';
import { type Mosquitto, startMosquitto } from './support/mosquitto.js';

// The broker configurations that deploy/ offers, as they stand there, with a real Mosquitto: only paths and port are others.

const deploy = (name: string): string =>
  readFileSync(new URL(`../../deploy/${name}`, import.meta.url), 'utf8');
const users = ['edge-margin', 'gateway-foil', 'gateway-pm2', 'dashboard'] as const;
type User = (typeof users)[number];
const site = 'edge-margin/alder-bay';

/** One way of being let in. */
interface Door {
  readonly broker: Mosquitto;
  readonly url: string;
  /** What the service needs to be let in as a user. */
  readonly service: (user: User) => Partial<BrokerClientOptions>;
  /** What any other client needs. */
  readonly client: (user: User) => IClientOptions;
}

function placed(configuration: string, standardPort: number): string {
  return configuration
    .replace(`listener ${standardPort}`, 'listener {port}')
    .replaceAll('/etc/mosquitto/', '{directory}/')
    .replaceAll('/var/lib/mosquitto/', '{directory}/');
}

async function doorWithPasswords(): Promise<Door> {
  const directory = mkdtempSync(join(tmpdir(), 'edge-margin-passwords-'));
  const path = join(directory, 'passwords');
  users.forEach((user, index) =>
    execFileSync('mosquitto_passwd', ['-b', ...(index === 0 ? ['-c'] : []), path, user, `of ${user}`]),
  );
  const broker = await startMosquitto({
    whole: placed(deploy('mosquitto.plant.conf'), 1883),
    files: { passwords: readFileSync(path, 'utf8'), acl: deploy('mosquitto.plant.acl') },
  });
  rmSync(directory, { recursive: true });
  const client = (user: User) => ({ username: user, password: `of ${user}` });
  return { broker, url: broker.url, service: client, client };
}

async function doorWithCertificates(): Promise<Door> {
  const authority: Authority = await makeAuthority('Plant authority');
  const own = await authority.issue({ name: 'broker', hosts: ['127.0.0.1'] });
  const broker = await startMosquitto({
    whole: placed(deploy('mosquitto.plant-tls.conf'), 8883),
    files: {
      'ca.crt': authority.ca,
      'broker.crt': own.cert,
      'broker.key': own.key,
      acl: deploy('mosquitto.plant.acl'),
    },
  });
  const issued = new Map(
    await Promise.all(users.map(async (user) => [user, await authority.issue({ name: user })] as const)),
  );
  const client = (user: User) => ({ ca: authority.ca, ...issued.get(user) });
  const url = `mqtts://127.0.0.1:${broker.port}`;
  return { broker, url, service: (user) => ({ tls: client(user) }), client };
}

const plant = readPlant(deploy('plant.example.yaml'));
if (!plant.ok) throw new Error('the example plant file has problems');
/** A topic of each source, as its gateway would publish. */
const topics = plant.plant.sources.map(({ topic }) =>
  topic.replace('{winder}', 'w1').replace('{station}', 's1').replace('{end}', 'drive'),
);
const gatewayOf = (topic: string): User =>
  topic.startsWith('alder-bay/foil/') ? 'gateway-foil' : 'gateway-pm2';

describe.each([
  ['mosquitto.plant.conf', doorWithPasswords],
  ['mosquitto.plant-tls.conf', doorWithCertificates],
])('%s with mosquitto.plant.acl', (_name, open) => {
  let door: Door;
  const clients = new Map<User, MqttClient>();
  const ingests: Ingest[] = [];

  beforeAll(async () => {
    door = await open();
    for (const user of ['gateway-foil', 'gateway-pm2', 'dashboard'] as const)
      clients.set(user, await mqtt.connectAsync(door.url, { protocolVersion: 5, ...door.client(user) }));
  });
  afterAll(async () => {
    for (const one of ingests) await one.stop();
    for (const client of clients.values()) await client.endAsync(true);
    await door.broker.dispose();
  });

  /** The service's own client, set up as the service sets it up. */
  async function service(): Promise<Ingest> {
    if (!plant.ok) throw new Error('no plant');
    const one = await startIngest({
      url: door.url,
      clientId: 'edge-margin-alder-bay',
      subscriptions: subscriptions(plant.plant),
      status: { topic: `${site}/status`, online: 'online', offline: 'offline' },
      echoTopic: `${site}/echo`,
      ...door.service('edge-margin'),
    });
    ingests.push(one);
    await eventually(() => (one.client.isCatchingUp() ? undefined : true), 'the echo');
    return one;
  }

  const client = (user: User): MqttClient => {
    const found = clients.get(user);
    if (found === undefined) throw new Error(user);
    return found;
  };

  it('lets the service do all it must: read every source, hear its echo, say that it is there', async () => {
    const heard: string[] = [];
    client('dashboard').on('message', (topic, payload) => heard.push(`${topic} ${payload.toString()}`));
    await client('dashboard').subscribeAsync(`${site}/#`, { qos: 1 });
    const one = await service();
    for (const topic of topics) await client(gatewayOf(topic)).publishAsync(topic, topic, { qos: 1 });
    await eventually(() => (one.texts().length >= topics.length ? true : undefined), 'every source');
    expect(one.texts().toSorted()).toEqual(topics.toSorted());
    await one.client.publish({
      topic: `${site}/foil/line/w1/s1/alarm/x`,
      payload: '{}',
      retain: true,
      qos: 1,
    });
    await eventually(() => (heard.some((text) => text.includes('/alarm/x')) ? true : undefined), 'an alarm');
    expect(heard).toContain(`${site}/status online`);
    expect(one.client.subscriptions().refused).toEqual([]);
    expect(one.client.trouble()).toEqual([]);
    await one.client.stop();
  });

  it("keeps the service's session while it is away", async () => {
    const before = await service();
    await before.client.stop();
    const topic = topics[0] ?? '';
    await client(gatewayOf(topic)).publishAsync(topic, 'meanwhile', { qos: 1 });
    const after = await service();
    await eventually(
      () => (after.texts().includes('meanwhile') ? true : undefined),
      'what was sent meanwhile',
    );
    expect(after.links().at(-1)).toMatchObject({ state: 'up', sessionPresent: true });
    await after.client.stop();
  });

  it('gives the service no right to write what a machine could listen to', async () => {
    const one = await service();
    await expect(
      one.client.publish({ topic: 'alder-bay/foil/w1/s1/setpoint', payload: '1', retain: false, qos: 1 }),
    ).rejects.toMatchObject({ code: 'refused' });
    await one.client.stop();
  });

  it.each([
    ['gateway-foil', `${site}/status`],
    ['gateway-foil', `${site}/echo`],
    ['gateway-foil', 'mill/pm2/wdr/speed_act'],
    ['dashboard', `${site}/foil/line/w1/s1/alarm/x`],
    ['dashboard', 'alder-bay/foil/w1/s1/state'],
  ] as const)('does not let %s publish to %s', async (user, topic) => {
    await expect(client(user).publishAsync(topic, 'forged', { qos: 1 })).rejects.toMatchObject({
      code: 0x87,
    });
  });

  it('lets nobody throw the service out by using its client id', async () => {
    const one = await service();
    for (const clientId of ['edge-margin-alder-bay', 'edge-margin']) {
      const intruder = mqtt.connect(door.url, {
        ...door.client('dashboard'),
        protocolVersion: 5,
        clientId,
        reconnectPeriod: 0,
      });
      await eventually(
        () => (intruder.connected ? true : undefined),
        'the intruder is in, under its own name',
      );
      await intruder.endAsync(true);
    }
    // A message comes through on the same connection as before.
    const topic = topics[0] ?? '';
    await client(gatewayOf(topic)).publishAsync(topic, 'still here', { qos: 1 });
    await eventually(() => (one.texts().includes('still here') ? true : undefined), 'a message');
    expect(one.links().map(({ state }) => state)).toEqual(['up']);
    await one.client.stop();
  });

  it('lets in nobody without a name', async () => {
    const nobody = mqtt.connect(door.url, {
      protocolVersion: 5,
      clientId: 'nobody',
      reconnectPeriod: 0,
      rejectUnauthorized: false,
    });
    const why = await new Promise<string>((resolve) => {
      nobody.once('error', (error) => resolve(error.message));
      nobody.once('connect', () => resolve('let in'));
      nobody.once('close', () => resolve('closed'));
    });
    expect(why).not.toBe('let in');
    await nobody.endAsync(true);
  });
});
