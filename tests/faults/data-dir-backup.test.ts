import { openStore } from '@edge-margin/store-sqlite';
import mqtt, { type MqttClient } from 'mqtt';
import { cpSync, existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { eventually } from '../services/support/eventually.js';
import { filmPlant, filmSpeed } from '../services/support/film-winder.js';
import { type Mosquitto, startMosquitto } from '../services/support/mosquitto.js';
import { runProgram } from '../services/support/running-program.js';
import { dataDirectory, readyOf, type RunningService, startService } from '../services/support/service.js';

const program = fileURLToPath(new URL('../../apps/cli/dist/main.js', import.meta.url));
const nobodyListens = 'mqtt://127.0.0.1:9';

async function cli(...words: string[]): Promise<{ code: number | null; output: string }> {
  const running = runProgram(process.execPath, [program, ...words]);
  const code = await running.exited;
  return { code, output: running.output() };
}

/** Times of the stored speeds, in order. */
function storedTimes(data: string): readonly number[] {
  const store = openStore(join(data, 'store.sqlite'));
  const { points } = store.series.query({ id: filmSpeed, fromMs: 0, toMs: 1e13, maxPoints: 1_000_000 });
  store.close();
  return points.map(([t]) => t);
}

describe('a copy of the data directory, taken under load', () => {
  const folder = dataDirectory();
  const data = join(folder.path, 'data');
  const plantFile = join(folder.path, 'plant.yaml');
  const copies = [1, 2, 3].map((number) => join(folder.path, `copy-${number}`));
  const settings = (dataDir: string, url: string) => ({
    DATA_DIR: dataDir,
    PLANT_FILE: plantFile,
    MQTT_URL: url,
    LOG_LEVEL: 'warn',
  });
  const published: number[] = [];
  /** How many readings were in the store, seen from outside, when each copy was begun. */
  const storedBefore: number[] = [];
  let publishing = true;
  let broker: Mosquitto;
  let gateway: MqttClient;
  let service: RunningService;

  /** As fast as the clock gives new time stamps: some hundred readings a second, in order. */
  const publishOn = async (): Promise<void> => {
    while (publishing) {
      const t = Date.now();
      if (published.at(-1) !== t) {
        published.push(t);
        const drive = { t, n: published.length, v: 300, d: 160, f: 120, on: 1 };
        gateway.publish('mill/film-9/a/drive', JSON.stringify(drive), { qos: 1 });
      }
      await new Promise((resolve) => setTimeout(resolve, 1));
    }
  };
  const storedNow = async (): Promise<number> => {
    const body = await service.json<{ series: { points: unknown[] }[] }>(
      `/api/winders/film-9/series?station=a&field=reading:speed&from=${published[0]}&to=${Date.now() + 1000}&maxPoints=10000`,
    );
    return body.series[0]?.points.length ?? 0;
  };

  beforeAll(async () => {
    writeFileSync(plantFile, filmPlant);
    broker = await startMosquitto();
    service = await startService(settings(data, broker.url));
    await readyOf(service);
    gateway = await mqtt.connectAsync(broker.url, { clientId: 'gateway' });
    const going = publishOn();
    for (const [index, copy] of copies.entries()) {
      await eventually(
        async () => ((await storedNow()) > (index + 1) * 150 ? true : undefined),
        'load',
        60_000,
      );
      storedBefore.push(await storedNow());
      expect(await cli('backup', '--data-dir', data, '--to', copy)).toMatchObject({ code: 0 });
    }
    publishing = false;
    await going;
    await service.kill();
    await gateway.endAsync(true);
    await broker.dispose();
  });

  afterAll(() => folder.remove());

  it.each([0, 1, 2])('is put back and folded on: everything up to a point, once (copy %i)', async (index) => {
    const restored = join(folder.path, `restored-${index}`);
    const copy = copies[index] ?? '';
    const { code, output } = await cli('restore', '--from', copy, '--data-dir', restored);
    expect(code, output).toBe(0);
    const position = Number(/store of version \d+ at position (\d+)/.exec(output)?.[1]);
    const end = Number(/journal ends at position (\d+)/.exec(output)?.[1]);
    expect(position).toBeGreaterThan(0);
    expect(end).toBeGreaterThanOrEqual(position);
    const again = await startService(settings(restored, nobodyListens));
    expect(await again.stop()).toBe(0);
    const times = storedTimes(restored);
    expect(times).toEqual(published.slice(0, times.length));
    expect(times.length).toBeGreaterThanOrEqual(storedBefore[index] ?? Infinity);
    const store = openStore(join(restored, 'store.sqlite'));
    expect(store.readPosition()).toBeGreaterThanOrEqual(end);
    expect(store.gaps.query({ limit: 10 }).map(({ because }) => because.code)).toContain('restored');
    store.close();
  });

  it('was taken from a service that noticed nothing', async () => {
    const again = await startService(settings(data, nobodyListens));
    expect(again.output()).not.toMatch(/"level":[56]0/);
    expect(await again.stop()).toBe(0);
    const times = storedTimes(data);
    expect(times).toEqual(published.slice(0, times.length));
    expect(times.length).toBeGreaterThan(storedBefore.at(-1) ?? Infinity);
    expect(storedBefore.length).toBe(3);
  });

  it('is not put back over data, but for --replace, which moves it aside; nor where a service works', async () => {
    const [copy] = copies as [string];
    const target = join(folder.path, 'restored-0');
    const refused = await cli('restore', '--from', copy, '--data-dir', target);
    expect(refused.code).toBe(1);
    expect(refused.output).toMatch(/^nothing was put back: .*holds data already.*--replace/);
    const running = await startService(settings(target, nobodyListens));
    const locked = await cli('restore', '--from', copy, '--data-dir', target, '--replace');
    expect(locked.code).toBe(1);
    expect(locked.output).toMatch(/^nothing was put back: .*process \d+ is already working/);
    expect(await running.stop()).toBe(0);
    const replaced = await cli('restore', '--from', copy, '--data-dir', target, '--replace');
    expect(replaced.code, replaced.output).toBe(0);
    const aside = readdirSync(target).find((name) => name.startsWith('replaced-'));
    expect(existsSync(join(target, aside ?? '', 'store.sqlite'))).toBe(true);
  });

  it('is refused where it is damaged, incomplete or none, before anything is touched', async () => {
    const [copy] = copies as [string];
    const damaged = join(folder.path, 'damaged');
    cpSync(copy, damaged, { recursive: true });
    const bytes = readFileSync(join(damaged, 'store.sqlite'));
    bytes[5000] = (bytes[5000] ?? 0) ^ 1;
    writeFileSync(join(damaged, 'store.sqlite'), bytes);
    const target = join(folder.path, 'untouched');
    const changed = await cli('restore', '--from', damaged, '--data-dir', target);
    expect(changed).toMatchObject({ code: 1 });
    expect(changed.output).toMatch(/^nothing was put back: .*store\.sqlite: has changed since/);
    const none = await cli('restore', '--from', folder.path, '--data-dir', target);
    expect(none).toMatchObject({ code: 1 });
    expect(none.output).toMatch(/no copy is here/);
    expect(existsSync(target)).toBe(false);
    for (const { output } of [changed, none]) expect(output.trim().split('\n')).toHaveLength(1);
  });

  it('is not taken over something, nor from a folder without a store', async () => {
    const [copy] = copies as [string];
    const taken = await cli('backup', '--data-dir', data, '--to', copy);
    expect(taken).toMatchObject({ code: 1 });
    expect(taken.output).toMatch(/^no copy was taken: .*holds something already/);
    const empty = await cli('backup', '--data-dir', folder.path, '--to', join(folder.path, 'new'));
    expect(empty).toMatchObject({ code: 1 });
    expect(empty.output).toMatch(/no store is here/);
    expect(existsSync(join(folder.path, 'new'))).toBe(false);
    expect((await cli('backup', '--to', 'x')).code).toBe(2);
    expect((await cli('restore', '--data-dir', 'x')).code).toBe(2);
  });
});
