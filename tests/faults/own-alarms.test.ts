import mqtt from 'mqtt';
import { symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { type Watched, watched } from '../services/own-alarms-watched.js';
import { eventually } from '../services/support/eventually.js';
import { filmPlant, presentIndex, publishFilm } from '../services/support/film-winder.js';
import { startMosquitto } from '../services/support/mosquitto.js';
import { dataDirectory, readyOf, type RunningService, startService } from '../services/support/service.js';
import { canMount, mountSmallDisk, type SmallDisk } from './journal-small-disk.js';

const endings: (() => unknown)[] = [];
afterEach(async () => {
  for (const end of endings.splice(0).reverse()) await end();
});

function smallDisk(): SmallDisk {
  // Without the right to mount there is no disk that could be full: then this fails, and says why.
  if (!canMount()) throw new Error('a small disk is needed: run this as a user who may mount');
  const disk = mountSmallDisk(64);
  endings.push(disk.dispose);
  return disk;
}

/** The service on this disk, fed by a film winder through a broker of its own. */
async function serviceOn(data: string): Promise<{
  readonly service: RunningService;
  readonly watch: Watched;
  readonly restart: (meanwhile: () => void) => Promise<RunningService>;
}> {
  const folder = dataDirectory();
  endings.push(folder.remove);
  const plantFile = join(folder.path, 'plant.yaml');
  writeFileSync(plantFile, filmPlant);
  const broker = await startMosquitto();
  endings.push(broker.dispose);
  let service: RunningService | undefined;
  endings.push(() => service?.kill());
  const start = async (): Promise<RunningService> => {
    service = await startService({ DATA_DIR: data, PLANT_FILE: plantFile, MQTT_URL: broker.url });
    return service;
  };
  const first = await start();
  const watch = await watched(first);

  const gateway = await mqtt.connectAsync(broker.url, { clientId: 'gateway' });
  const startMs = Date.now() - 3000;
  let sending = true;
  const sent = (async () => {
    while (sending) {
      const from = presentIndex(startMs);
      await publishFilm(gateway, { startMs, from, to: from + 5, inStep: true }).catch(() => undefined);
    }
  })();
  endings.push(async () => {
    sending = false;
    await sent;
    await gateway.endAsync();
  });
  await eventually(
    async () => ((await watch.onPage('store', '')).part?.state === 'ok' ? true : undefined),
    'the store takes rows',
  );
  return {
    service: first,
    watch,
    restart: async (meanwhile) => {
      await service?.kill();
      meanwhile();
      watch.follow(await start());
      return service!;
    },
  };
}

const raised = (watch: Watched, trouble: string) =>
  eventually(
    async () => {
      const alarm = await watch.alarm(trouble);
      return alarm?.state === 'UNACK' ? alarm : undefined;
    },
    `the alarm ${trouble}`,
    150_000,
  );

const cleared = (watch: Watched, trouble: string) =>
  eventually(
    async () => {
      const alarm = await watch.alarm(trouble);
      return alarm?.state === 'RTNUN' ? alarm : undefined;
    },
    `the end of ${trouble}`,
    150_000,
  );

const recorded = async (watch: Watched, trouble: string) =>
  (await watch.transitions(trouble)).map(({ kind, alarm }) => [kind, alarm.occurrenceId]);

describe('a store on a full disk, while the journal has room on another', () => {
  const trouble = 'store-failing';

  const onTwoDisks = () => {
    const disk = smallDisk();
    symlinkSync(smallDisk().directory, join(disk.directory, 'journal'));
    return disk;
  };

  it('calls maintenance although the alarm cannot be stored, and records it when it can', async () => {
    const disk = onTwoDisks();
    const { service, watch } = await serviceOn(disk.directory);
    disk.fill();
    const alarm = await raised(watch, trouble);
    expect(alarm).toMatchObject({ priority: 'high', mechanism: 'service', winderId: '', stationId: '' });
    expect(alarm.because.text).toMatch(/store\.sqlite: .*(full|space)/);
    expect(alarm.response).toMatch(/look at the disk that holds DATA_DIR: space/);
    const page = await watch.onPage('store', trouble);
    expect(page.part?.state).toBe('down');
    expect(page.part?.because[0]?.text).toBe(alarm.because.text);
    expect(page.alarm?.occurrenceId).toBe(alarm.occurrenceId);
    const metrics = await watch.inMetrics('store', 'high');
    expect(metrics.state).toBe('down');
    expect(metrics.unacknowledged).toBeGreaterThanOrEqual(1);
    expect((await watch.onPage('journal', '')).part?.state).toBe('ok');
    expect((await service.get('/health/ready')).status).toBe(503);
    expect(await recorded(watch, trouble)).toEqual([]);

    disk.free();
    const freedAtMs = Date.now();
    const over = await cleared(watch, trouble);
    expect(over.occurrenceId).toBe(alarm.occurrenceId);
    expect(over.raisedAtMs).toBe(alarm.raisedAtMs);
    // Five seconds of off-delay, looked at every other second.
    expect(over.clearedAtMs! - freedAtMs).toBeGreaterThan(4000);
    expect(await recorded(watch, trouble)).toEqual([
      ['raise', alarm.occurrenceId],
      ['clear', alarm.occurrenceId],
    ]);
    expect((await watch.onPage('store', trouble)).part?.state).toBe('ok');
    expect(await watch.acknowledge(over)).toBe(200);
    expect(await watch.alarm(trouble)).toBeUndefined();
  });

  it('is the same alarm for a service that was killed meanwhile and finds room again', async () => {
    const disk = onTwoDisks();
    const { watch, restart } = await serviceOn(disk.directory);
    disk.fill();
    const alarm = await raised(watch, trouble);
    await restart(disk.free);
    expect(await watch.alarm(trouble)).toMatchObject({ occurrenceId: alarm.occurrenceId });
    await cleared(watch, trouble);
    expect(await recorded(watch, trouble)).toEqual([
      ['raise', alarm.occurrenceId],
      ['clear', alarm.occurrenceId],
    ]);
  });
});

describe('journal and store on one full disk', () => {
  it('call maintenance although not even the report can be written, and record it when it can', async () => {
    const disk = smallDisk();
    const { service, watch } = await serviceOn(disk.directory);
    disk.fill();
    const alarm = await raised(watch, 'journal-failing');
    expect(alarm).toMatchObject({ priority: 'high', mechanism: 'service' });
    expect(alarm.because.text).toMatch(/^The journal cannot be written: .*full/);
    expect(alarm.response).toContain('nothing more is taken from the broker');
    const space = await raised(watch, 'disk-space');
    expect(space).toMatchObject({ priority: 'high', stage: 'reached' });
    const page = await watch.onPage('journal', 'journal-failing');
    expect(page.part?.state).toBe('down');
    expect(page.alarm?.occurrenceId).toBe(alarm.occurrenceId);
    const metrics = await watch.inMetrics('journal', 'high');
    expect(metrics.state).toBe('down');
    expect(metrics.unacknowledged).toBeGreaterThanOrEqual(2);
    expect((await service.get('/health/ready')).status).toBe(503);
    expect(service.output()).toContain('it cannot be recorded yet');

    disk.free();
    for (const { alarmKey, occurrenceId } of [alarm, space]) {
      const trouble = alarmKey.replace('service.testsite.', '');
      expect((await cleared(watch, trouble)).occurrenceId).toBe(occurrenceId);
      expect(await recorded(watch, trouble)).toEqual([
        ['raise', occurrenceId],
        ['clear', occurrenceId],
      ]);
    }
    expect((await watch.onPage('journal', '')).part?.state).toBe('ok');
  });

  it('let the service end within half a minute where it is asked to, as a service manager wants, and it starts again', async () => {
    const disk = smallDisk();
    const { service, watch, restart } = await serviceOn(disk.directory);
    disk.fill();
    await raised(watch, 'journal-failing');
    const patience = new Promise((resolve) => setTimeout(resolve, 30_000, 'still there after 30 s'));
    expect(await Promise.race([service.stop(), patience])).toBe(0);
    expect(service.output()).toContain('their messages come again, unacknowledged');
    const again = await restart(disk.free);
    await readyOf(again);
  });
});
