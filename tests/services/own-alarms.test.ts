import mqtt from 'mqtt';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, it, type TestContext } from 'vitest';
import { type Watched, watched } from './own-alarms-watched.js';
import { eventually } from './support/eventually.js';
import { filmPlant, presentIndex, publishFilm } from './support/film-winder.js';
import { type Mosquitto, startMosquitto } from './support/mosquitto.js';
import { accepted, disconnect, granted, published, startScriptedBroker } from './support/scripted-broker.js';
import { dataDirectory, type RunningService, startService } from './support/service.js';

/** What a test opens is closed in reverse; the tests of this file mostly wait, and do so side by side. */
type AtEnd = TestContext['onTestFinished'];

/** An alarm waits for the disk before it is shown, and a busy machine's disk may take long. */
const patienceMs = 150_000;

/** A plant of one film winder: where its files are, and the service on them, which may be killed and started again. */
function site(mqttUrl: string, atEnd: AtEnd) {
  const folder = dataDirectory();
  atEnd(folder.remove);
  const plantFile = join(folder.path, 'plant.yaml');
  writeFileSync(plantFile, filmPlant);
  let service: RunningService | undefined;
  atEnd(async () => {
    await service?.stop();
  });
  const start = async (): Promise<RunningService> => {
    service = await startService({
      DATA_DIR: join(folder.path, 'data'),
      PLANT_FILE: plantFile,
      MQTT_URL: mqttUrl,
      LOG_LEVEL: 'warn',
    });
    return service;
  };
  return {
    path: folder.path,
    start,
    restart: async (): Promise<RunningService> => {
      await service?.kill();
      return start();
    },
  };
}

/** Sends what the winder measures, in step with the clock, until the test ends. */
async function sendFilm(url: string, atEnd: AtEnd): Promise<void> {
  const gateway = await mqtt.connectAsync(url, { clientId: 'gateway', reconnectPeriod: 200 });
  const startMs = Date.now() - 3000;
  let sending = true;
  const sent = (async () => {
    while (sending) {
      const from = presentIndex(startMs);
      await publishFilm(gateway, { startMs, from, to: from + 5, inStep: true }).catch(() => undefined);
    }
  })();
  atEnd(async () => {
    sending = false;
    await sent;
    await gateway.endAsync();
  });
}

const raised = (watch: Watched, trouble: string, withinMs: number) =>
  eventually(
    async () => {
      const alarm = await watch.alarm(trouble);
      return alarm?.state === 'UNACK' ? alarm : undefined;
    },
    `the alarm ${trouble}`,
    withinMs,
  );

const cleared = (watch: Watched, trouble: string, withinMs: number) =>
  eventually(
    async () => {
      const alarm = await watch.alarm(trouble);
      return alarm?.state === 'RTNUN' ? alarm : undefined;
    },
    `the end of ${trouble}`,
    withinMs,
  );

const kinds = async (watch: Watched, trouble: string): Promise<string[]> =>
  (await watch.transitions(trouble)).map(({ kind }) => kind);

describe.concurrent('a broker that grants our subscriptions and withholds what they are for', () => {
  const trouble = 'broker-mute';

  it('calls maintenance, over a restart as one and the same alarm, until something comes', async ({
    expect,
    onTestFinished: atEnd,
  }) => {
    const folder = dataDirectory();
    atEnd(folder.remove);
    const accessList = (reading: string): void =>
      writeFileSync(
        join(folder.path, 'acl'),
        `topic write mill/#\n${reading}topic readwrite edge-margin/#\n`,
        {
          mode: 0o644,
        },
      );
    accessList('');
    const broker: Mosquitto = await startMosquitto({
      access: `allow_anonymous true\nacl_file ${folder.path}/acl`,
    });
    atEnd(broker.dispose);
    await sendFilm(broker.url, atEnd);
    const plant = site(broker.url, atEnd);
    const service = await plant.start();
    const watch = await watched(service);

    const alarm = await raised(watch, trouble, patienceMs);
    expect(alarm).toMatchObject({ priority: 'medium', mechanism: 'service', winderId: '', stationId: '' });
    expect(alarm.because.text).toMatch(/nothing comes .*its access list/);
    expect(alarm.response).toContain('see whether the sources publish');
    const page = await watch.onPage('broker', trouble);
    expect(page.part).toMatchObject({ state: 'down', because: [{ code: 'mute' }] });
    expect(page.part?.figures.find(({ name }) => name === 'state')?.value).toBe('up');
    expect(page.alarm?.occurrenceId).toBe(alarm.occurrenceId);
    expect(await watch.inMetrics('broker', 'medium')).toEqual({ state: 'down', unacknowledged: 1 });
    expect((await service.get('/health/ready')).status).toBe(503);

    // A process that has just begun to listen does not know yet whether anything comes: that is no news that something does.
    watch.follow(await plant.restart());
    const untilMs = Date.now() + 35_000;
    while (Date.now() < untilMs) {
      expect(await watch.alarm(trouble)).toMatchObject({
        occurrenceId: alarm.occurrenceId,
        state: 'UNACK',
      });
      await new Promise((resolve) => setTimeout(resolve, 500));
    }
    expect((await watch.onPage('broker', trouble)).part?.because[0]?.code).toBe('mute');

    accessList('topic read mill/#\n');
    const mendedAtMs = Date.now();
    await broker.stop();
    await broker.start();
    const over = await cleared(watch, trouble, patienceMs);
    expect(over.occurrenceId).toBe(alarm.occurrenceId);
    // Five seconds of off-delay, looked at every other second.
    expect(over.clearedAtMs! - mendedAtMs).toBeGreaterThan(4000);
    expect((await watch.onPage('broker', trouble)).part?.because.map(({ code }) => code)).not.toContain(
      'mute',
    );
    expect(await watch.acknowledge(over)).toBe(200);
    expect(await watch.alarm(trouble)).toBeUndefined();
    expect(await kinds(watch, trouble)).toEqual(['raise', 'clear', 'acknowledge']);
  }, 600_000);
});

describe.concurrent('another client with our client id', () => {
  const trouble = 'broker-taken-over';

  it('calls maintenance at once where the broker says so', async ({ expect, onTestFinished: atEnd }) => {
    const filters = 3;
    const broker = await startScriptedBroker({
      connect: () => accepted,
      subscribe: granted(filters),
      publish: published,
    });
    atEnd(broker.close);
    const watch = await watched(await site(broker.url, atEnd).start());
    await eventually(
      async () => ((await watch.onPage('broker', trouble)).part?.state === 'ok' ? true : undefined),
      'subscribed',
    );
    broker.send(disconnect(0x8e));
    const alarm = await raised(watch, trouble, patienceMs);
    expect(alarm).toMatchObject({ priority: 'medium', because: { code: 'taken-over' } });
    expect(alarm.because.text).toMatch(/^another client connects under our client id edge-margin-testsite/);
    expect((await watch.onPage('broker', trouble)).alarm?.occurrenceId).toBe(alarm.occurrenceId);
  });

  it('calls maintenance to look for it, over a restart, until a connection has lasted', async ({
    expect,
    onTestFinished: atEnd,
  }) => {
    const broker = await startMosquitto();
    atEnd(broker.dispose);
    const plant = site(broker.url, atEnd);
    const watch = await watched(await plant.start());
    const other = mqtt.connect(broker.url, {
      clientId: 'edge-margin-testsite',
      protocolVersion: 5,
      reconnectPeriod: 1500,
    });
    other.on('error', () => undefined);
    atEnd(() => other.endAsync(true));

    const alarm = await raised(watch, trouble, patienceMs);
    expect(alarm).toMatchObject({ priority: 'medium', mechanism: 'service' });
    expect(alarm.because.text).toContain('client id edge-margin-testsite');
    expect(alarm.response).toMatch(/find the other client .* another id/);
    const page = await watch.onPage('broker', trouble);
    expect(page.part?.state).not.toBe('ok');
    expect(page.part?.because.map(({ text }) => text)).toContain(alarm.because.text);
    expect(page.alarm?.occurrenceId).toBe(alarm.occurrenceId);
    // Nobody sends here, so that after a while another alarm says so.
    expect((await watch.inMetrics('broker', 'medium')).unacknowledged).toBeGreaterThanOrEqual(1);
    expect(await watch.acknowledge(alarm)).toBe(200);

    watch.follow(await plant.restart());
    expect(await watch.alarm(trouble)).toMatchObject({ occurrenceId: alarm.occurrenceId, state: 'ACKED' });
    await other.endAsync(true);
    const endedAtMs = Date.now();
    await eventually(
      async () => ((await watch.alarm(trouble)) === undefined ? true : undefined),
      'the end of the alarm',
      300_000,
    );
    const recorded = await watch.transitions(trouble);
    expect(recorded.map(({ kind }) => kind)).toEqual(['raise', 'acknowledge', 'clear']);
    // A connection that has stood for a minute, then half a minute of off-delay.
    expect(recorded.at(-1)!.atMs - endedAtMs).toBeGreaterThan(80_000);
    expect((await watch.onPage('broker', trouble)).part?.because.map(({ code }) => code)).not.toContain(
      'link-flapping',
    );
  }, 600_000);
});
