import mqtt, { type MqttClient } from 'mqtt';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { eventually } from '../services/support/eventually.js';
import { filmPlant } from '../services/support/film-winder.js';
import { type Mosquitto, startMosquitto } from '../services/support/mosquitto.js';
import { dataDirectory, readyOf, type RunningService, startService } from '../services/support/service.js';

interface Memory {
  readonly rss: number;
  readonly heapUsed: number;
}

const preload = fileURLToPath(new URL('support/memory-probe.mjs', import.meta.url));
const outages = Number(process.env['OUTAGES'] ?? 9);
const patienceMs = 90_000;
const megabyte = 1e6;

describe(`memory over ${outages} outages of the broker under load`, () => {
  const folder = dataDirectory();
  const data = join(folder.path, 'data');
  const probeFile = join(folder.path, 'memory.jsonl');
  const memory: Memory[] = [];
  let broker: Mosquitto;
  let gateway: MqttClient;
  let service: RunningService;
  let publishing = true;
  let going: Promise<void>;

  const publishOn = async (): Promise<void> => {
    for (let n = 0; publishing; n += 1) {
      const t = Date.now();
      const drive = { t, n, v: 180, d: 160 + n * 0.002, f: 120, on: 1 };
      gateway.publish('mill/film-9/a/drive', JSON.stringify(drive), { qos: 1 });
      for (const end of ['tending', 'drive'])
        gateway.publish(`mill/film-9/a/nip/${end}`, JSON.stringify({ t, load: 300, peak: 1.2, swing: 3 }), {
          qos: 1,
        });
      await new Promise((resolve) => setTimeout(resolve, 10));
    }
  };
  const probed = (): readonly Memory[] =>
    existsSync(probeFile)
      ? readFileSync(probeFile, 'utf8')
          .trim()
          .split('\n')
          .map((line) => JSON.parse(line) as Memory)
      : [];
  /** What is in use after a collection. */
  const probe = async (): Promise<Memory> => {
    const before = probed().length;
    process.kill(Number(readFileSync(join(data, 'lock.pid'), 'utf8')), 'SIGUSR2');
    return eventually(
      () => {
        const now = probed();
        return now.length > before ? now.at(-1) : undefined;
      },
      'memory',
      patienceMs,
    );
  };

  beforeAll(
    async () => {
      const plantFile = join(folder.path, 'plant.yaml');
      writeFileSync(plantFile, filmPlant);
      broker = await startMosquitto();
      service = await startService({
        DATA_DIR: data,
        PLANT_FILE: plantFile,
        MQTT_URL: broker.url,
        LOG_LEVEL: 'warn',
        MEMORY_PROBE_FILE: probeFile,
        NODE_OPTIONS: `--import=${preload}`,
      });
      await readyOf(service);
      gateway = await mqtt.connectAsync(broker.url, { clientId: 'gateway', reconnectPeriod: 200 });
      going = publishOn();
      for (let outage = 0; outage < outages; outage += 1) {
        await broker.kill();
        await readyOf(service, 503);
        await broker.start();
        await readyOf(service);
        memory.push(await probe());
      }
      publishing = false;
      await going;
    },
    patienceMs + outages * 60_000,
  );

  afterAll(async () => {
    await gateway.endAsync(true);
    await broker.dispose();
    folder.remove();
  });

  const median = (values: readonly number[]): number =>
    [...values].sort((a, b) => a - b)[values.length >> 1] ?? NaN;
  const growth = (of: (one: Memory) => number): number => {
    const third = Math.floor(memory.length / 3);
    return median(memory.slice(-third).map(of)) - median(memory.slice(0, third).map(of));
  };

  it('is flat: what an outage leaves behind is freed', () => {
    // A client, its timers and its buffers that were kept would be some 100 kB an outage; readings kept for the pages move the heap by more.
    expect(growth(({ heapUsed }) => heapUsed)).toBeLessThan(6 * megabyte);
    // SQLite's page cache may still fill (32 MiB at most), and the allocator gives back late.
    expect(growth(({ rss }) => rss)).toBeLessThan(48 * megabyte);
    expect(memory).toHaveLength(outages);
  });

  it('ends in good order', async () => {
    expect(await service.stop()).toBe(0);
  });
});
