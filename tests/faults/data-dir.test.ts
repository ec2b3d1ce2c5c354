import type { AlarmJournalBody, AlarmsBody } from '@edge-margin/monitoring';
import { openJournal } from '@edge-margin/journal';
import { openStore } from '@edge-margin/store-sqlite';
import Database from 'better-sqlite3';
import mqtt from 'mqtt';
import { spawnSync } from 'node:child_process';
import { chmodSync, mkdirSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { eventually } from '../services/support/eventually.js';
import { filmPlant, filmSamples, filmSpeed } from '../services/support/film-winder.js';
import { type Mosquitto, startMosquitto } from '../services/support/mosquitto.js';
import {
  dataDirectory,
  readyOf,
  refusedStart,
  type RunningService,
  startService,
} from '../services/support/service.js';

const endings: (() => unknown)[] = [];
afterEach(async () => {
  for (const end of endings.splice(0).reverse()) await end();
});

const plantText = `${filmPlant}  nipBounce: { onDelayS: 1, offDelayS: 1 }\n`;
const nobodyListens = 'mqtt://127.0.0.1:9';

/** A folder with a plant file and a place for the data. */
function site(): {
  readonly data: string;
  readonly settings: (mqttUrl: string) => Record<string, string> & { readonly DATA_DIR: string };
} {
  const folder = dataDirectory();
  endings.push(folder.remove);
  const plantFile = join(folder.path, 'plant.yaml');
  writeFileSync(plantFile, plantText);
  const data = join(folder.path, 'data');
  return {
    data,
    settings: (mqttUrl) => ({ DATA_DIR: data, PLANT_FILE: plantFile, MQTT_URL: mqttUrl }),
  };
}

async function broker(): Promise<Mosquitto> {
  const started = await startMosquitto();
  endings.push(started.dispose);
  return started;
}

async function service(settings: Parameters<typeof startService>[0]): Promise<RunningService> {
  const started = await startService(settings);
  endings.push(started.stop);
  return started;
}

/** The messages of a roll whose nip swings far beyond its limit. */
const swingingNip = (startMs: number, index: number): { topic: string; payload: string }[] =>
  filmSamples(startMs, index).map(({ topic, payload }) => ({
    topic,
    payload: payload.replace('"swing":3', '"swing":60'),
  }));

const nipAlarm = async (running: RunningService): Promise<AlarmsBody['alarms'][number] | undefined> =>
  (await running.json<AlarmsBody>('/api/alarms')).alarms.find(({ alarmKey }) => alarmKey === 'film-9.a.nip');

function removeStore(data: string): void {
  for (const name of readdirSync(data).filter((entry) => entry.startsWith('store.sqlite')))
    rmSync(join(data, name));
}

function storedSpeeds(data: string): number {
  const store = openStore(join(data, 'store.sqlite'));
  const { points } = store.series.query({ id: filmSpeed, fromMs: 0, toMs: 1e13, maxPoints: 100_000 });
  store.close();
  return points.length;
}

describe('a lost store beside a journal that is there', () => {
  it('is folded anew: the service starts, shows the alarms that were open and has every reading again', async () => {
    const { data, settings } = site();
    const { url } = await broker();
    const first = await service(settings(url));
    await readyOf(first);
    const gateway = await mqtt.connectAsync(url, { clientId: 'gateway' });
    endings.push(() => gateway.endAsync(true));
    const startMs = Date.now() - 20_000;
    for (let index = 0; index < 100; index += 1)
      for (const { topic, payload } of swingingNip(startMs, index))
        await gateway.publishAsync(topic, payload, { qos: 1 });
    const before = await eventually(() => nipAlarm(first), 'the alarm', 60_000);
    expect(await first.stop()).toBe(0);
    expect(storedSpeeds(data)).toBe(100);
    removeStore(data);

    // What is folded at the start is shown at the start: this once used parts that did not exist yet.
    const second = await service(settings(url));
    const after = await nipAlarm(second);
    expect(after?.occurrenceId).toBe(before.occurrenceId);
    expect(after?.raisedAtMs).toBe(before.raisedAtMs);
    const { transitions } = await second.json<AlarmJournalBody>('/api/alarms/journal?limit=500');
    expect(
      transitions.filter(({ kind, alarm }) => kind === 'raise' && alarm.alarmKey === 'film-9.a.nip'),
    ).toHaveLength(1);
    await readyOf(second);
    expect(second.output()).not.toContain('before initialization');
    expect(await second.stop()).toBe(0);
    expect(storedSpeeds(data)).toBe(100);
  });

  it('is folded from the first row that is left where the journal has let go of its beginning, and the gap is recorded', async () => {
    const { data, settings } = site();
    const startMs = Date.now() - 120_000;
    const journal = await openJournal({ directory: join(data, 'journal'), segmentMaxBytes: 40_000 });
    journal.append({ kind: 'config', arrivedAtMs: startMs, plantFile: plantText, revision: 'older' });
    for (let index = 0; index < 500; index += 1) {
      for (const { topic, payload } of swingingNip(startMs, index)) {
        const bytes = new TextEncoder().encode(payload);
        const arrivedAtMs = startMs + index * 200 + 5;
        journal.append({
          kind: 'message',
          topic,
          payload: bytes,
          qos: 1,
          retain: false,
          dup: false,
          arrivedAtMs,
        });
      }
      if (index % 50 === 0) await journal.flush();
    }
    await journal.flush();
    expect(await journal.disposeBefore(900, Number.MAX_SAFE_INTEGER)).toBeGreaterThan(1);
    const begin = journal.firstPosition();
    const rows = journal.durable() - begin + 1;
    await journal.close();

    const running = await service(settings(nobodyListens));
    expect((await nipAlarm(running))?.state).toMatch(/^(UNACK|RTNUN)$/);
    expect(await running.stop()).toBe(0);
    expect(Math.abs(storedSpeeds(data) - rows / 3)).toBeLessThan(1);
    const store = openStore(join(data, 'store.sqlite'));
    const [gap] = store.gaps.query({ limit: 10 }).filter(({ id }) => id.startsWith('journal:'));
    store.close();
    expect(gap?.because.params).toEqual({ from: 1, to: begin - 1 });
  });
});

/** The refusal must be one line, so that it can be read in a log. */
async function refusalOf(settings: Record<string, string>): Promise<string> {
  const { code, output } = await refusedStart({ ...settings, LOG_LEVEL: 'error' });
  expect(code, output).toBe(1);
  expect(output.trim().split('\n'), output).toHaveLength(1);
  return output.trim();
}

/** A file system that can be filled, or made unwritable, whoever runs the test: root may write into any folder. */
function mounted(at: string, options: string): void {
  mkdirSync(at, { recursive: true });
  const mount = spawnSync('mount', ['-t', 'tmpfs', '-o', options, 'tmpfs', at], { encoding: 'utf8' });
  if (mount.status !== 0) throw new Error(`mount -t tmpfs: ${mount.stderr}`);
  endings.push(() => spawnSync('umount', [at]));
}

const isRoot = process.getuid?.() === 0;

describe('a data directory that cannot be used', () => {
  it('stops the start with one line where it is read-only', async () => {
    const { data, settings } = site();
    mkdirSync(data);
    if (isRoot) mounted(data, 'ro');
    else {
      chmodSync(data, 0o555);
      endings.push(() => chmodSync(data, 0o755));
    }
    expect(await refusalOf(settings(nobodyListens))).toMatch(/did not start: .*may not be written|read-only/);
  });

  it('stops the start with one line where an older program finds the store of a newer one, and leaves it alone', async () => {
    const { data, settings } = site();
    mkdirSync(data);
    const path = join(data, 'store.sqlite');
    openStore(path).close();
    const database = new Database(path);
    database.pragma('user_version = 99');
    database.close();
    expect(await refusalOf(settings(nobodyListens))).toMatch(/version 99 is newer than version \d+/);
    const after = new Database(path, { readonly: true });
    expect(after.pragma('user_version', { simple: true })).toBe(99);
    after.close();
  });

  it('stops the start with one line where the journal was written by a newer program', async () => {
    const { data, settings } = site();
    const journal = await openJournal({ directory: join(data, 'journal') });
    journal.append({ kind: 'tick', arrivedAtMs: 1 });
    await journal.flush();
    await journal.close();
    const [segment] = readdirSync(join(data, 'journal')).filter((name) => name.endsWith('.sqlite'));
    const database = new Database(join(data, 'journal', segment ?? ''));
    database.pragma('user_version = 99');
    database.close();
    expect(await refusalOf(settings(nobodyListens))).toMatch(/later version \(format 99\)/);
  });

  it('stops the start with one line where store or journal are damaged', async () => {
    const { data, settings } = site();
    mkdirSync(data);
    writeFileSync(join(data, 'store.sqlite'), 'winder '.repeat(1000));
    expect(await refusalOf(settings(nobodyListens))).toMatch(/store\.sqlite: the file is damaged/);
  });

  it('stops the start with one line where the store is ahead of its journal', async () => {
    const { data, settings } = site();
    mkdirSync(data);
    const store = openStore(join(data, 'store.sqlite'));
    store.commitBatch({ position: 4711 });
    store.close();
    expect(await refusalOf(settings(nobodyListens))).toMatch(/parts of different age/);
  });
});

// A full disk needs a file system of its own, which only root can mount; the adapters' own tests fill files up to a limit instead.
describe.runIf(isRoot)('a full data directory', () => {
  it('stops the first start with one line', async () => {
    const { data, settings } = site();
    mounted(data, 'size=64k');
    spawnSync('dd', ['if=/dev/zero', `of=${join(data, 'filler')}`, 'bs=4k', 'count=40']);
    expect(await refusalOf(settings(nobodyListens))).toMatch(/space|full/i);
  });
});
