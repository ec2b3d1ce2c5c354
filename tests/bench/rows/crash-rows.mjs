// How soon the service is back: after a kill under load, and where the journal is full of rows that the store has never seen (a store that was lost).
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { openJournal } from '../../../libs/journal/dist/index.js';
import { startBroker } from '../parts/broker.mjs';
import { startProgram } from '../parts/child.mjs';
import { round } from '../parts/figures.mjs';
import { plantOf, signals, valuesAt } from '../parts/plant.mjs';
import { startService } from '../parts/service.mjs';
import { delay } from '../parts/wait.mjs';

const winders = 20;
const rateHz = 10;
const loadMs = 15_000;
const fullRows = 200_000;

export async function crashRows() {
  const broker = await startBroker();
  const directory = mkdtempSync(join(tmpdir(), 'edge-margin-bench-'));
  try {
    return [
      await afterAKill(broker, join(directory, 'killed')),
      await afterALoss(broker, join(directory, 'lost')),
    ];
  } finally {
    await broker.stop();
    rmSync(directory, { recursive: true, force: true });
  }
}

async function afterAKill({ url }, directory) {
  mkdirSync(directory);
  const first = await startService({ url, winders, directory });
  const load = startProgram([
    fileURLToPath(new URL('../parts/load.mjs', import.meta.url)),
    url,
    winders,
    rateHz,
    'together',
  ]);
  await load.said('loading');
  await delay(loadMs);
  first.kill('SIGKILL');
  await first.ended;
  const seconds = await startSeconds(url, directory);
  await load.stop();
  return {
    name: `start to serving after a kill under load (${winders} winders)`,
    value: round(seconds),
    unit: 's',
    goal: null,
    pass: null,
  };
}

async function afterALoss({ url }, directory) {
  const arrivedAtMs = Date.now() - (fullRows / (winders * 5 * rateHz)) * 1000;
  const journal = await openJournal({ directory: join(directory, 'data', 'journal') });
  journal.append({ kind: 'config', arrivedAtMs, plantFile: plantOf(winders), revision: 'bench' });
  for (let n = 1; journal.lastPosition() < fullRows; n += 1) {
    const t = Math.round(arrivedAtMs + (n * 1000) / rateHz);
    const values = valuesAt(n / rateHz, n);
    for (let winder = 0; winder < winders; winder += 1)
      for (const signal of signals)
        journal.append({
          kind: 'message',
          arrivedAtMs: t,
          topic: `bench/w${winder}/a/${signal}`,
          payload: Buffer.from(JSON.stringify({ t, n, v: values[signal] })),
          qos: 1,
          retain: false,
          dup: false,
        });
    if (n % 100 === 0) await journal.flush();
  }
  await journal.close();
  const seconds = await startSeconds(url, directory);
  return {
    name: `start to serving with ${fullRows} journal rows that the store has not seen`,
    value: round(seconds),
    unit: 's',
    goal: null,
    pass: null,
    rowsPerS: Math.round(fullRows / seconds),
    loadIsRowsPerS: winders * 5 * rateHz,
  };
}

async function startSeconds(url, directory) {
  const begin = performance.now();
  const service = await startService({ url, winders, directory });
  const seconds = (performance.now() - begin) / 1000;
  await service.stop();
  return seconds;
}
