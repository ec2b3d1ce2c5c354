// The pipeline alone, in a process of its own: rows of so many winders (5 signals at 2 Hz, grid 1 Hz) go through decoding, assessment with forecast
// and the store, as fast as it takes them, a turn of 500 rows after the other, as when it catches up. Prints one JSON line: CPU a message
// (all threads) of the second half, and the memory after garbage collection.
//
//   node --expose-gc tests/bench/parts/pipeline-run.mjs <winders> <messages>
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pino } from 'pino';
import { Pipeline } from '../../../apps/monitor/dist/monitoring/pipeline.js';
import { pipelineStore } from '../../../apps/monitor/dist/records/store-effects.js';
import { openStore } from '../../../libs/store-sqlite/dist/index.js';
import { plantOf, signals, valuesAt } from './plant.mjs';

const [winders, messages] = process.argv.slice(2).map(Number);
const rateHz = 2;
/** Every roll is so long, so that all sizes see the same mix of cells: a cell's cost depends on what the roll has been through. */
const rollS = 20;
const rowsAtATime = 500;
const startMs = 1_790_000_000_000;
const directory = mkdtempSync(join(tmpdir(), 'edge-margin-bench-'));
const store = openStore(join(directory, 'store.sqlite'));
const decoder = new TextDecoder('utf-8', { fatal: true });
const encoder = new TextEncoder();
let last = 0;
let onAppend;
let onDurable;
const journal = {
  lastPosition: () => last,
  durable: () => last,
  onAppend: (listener) => ((onAppend = listener), () => undefined),
  onDurable: (listener) => ((onDurable = listener), () => undefined),
  flush: async () => undefined,
};
const pipeline = new Pipeline({
  journal,
  store: pipelineStore(store, () => []),
  dependencies: { textDecoder: (bytes) => decoder.decode(bytes) },
  log: pino({ level: 'warn' }),
  now: Date.now,
  onEffects: () => undefined,
});
pipeline.start();
append({ kind: 'config', arrivedAtMs: startMs, plantFile: plantOf(winders), revision: 'bench' });
append({ kind: 'link', link: 'broker', state: 'up', sessionPresent: true, arrivedAtMs: startMs });
await fold();

let cpuUs = 0;
let counted = 0;
for (let n = 1; last < messages; n += 1) {
  const t = startMs + (n * 1000) / rateHz;
  const values = valuesAt((n / rateHz) % rollS, n);
  for (let winder = 0; winder < winders; winder += 1) {
    for (const signal of signals)
      append(messageRow(`bench/w${winder}/a/${signal}`, { t, n, v: values[signal] }, t));
    if (last - pipelineAt() < rowsAtATime) continue;
    const rows = last - pipelineAt();
    const us = await fold();
    if (last < messages / 2) continue;
    cpuUs += us;
    counted += rows;
  }
}
await pipeline.stop();
global.gc();
const { heapUsed, external, rss } = process.memoryUsage();
console.log(
  JSON.stringify({ winders, usPerMessage: cpuUs / counted, heapBytes: heapUsed + external, rssBytes: rss }),
);
store.close();
rmSync(directory, { recursive: true, force: true });
process.exit(0);

function append(row) {
  last += 1;
  onAppend({ ...row, position: last });
}

function messageRow(topic, body, arrivedAtMs) {
  const payload = encoder.encode(JSON.stringify(body));
  return { kind: 'message', topic, payload, qos: 1, retain: false, dup: false, arrivedAtMs };
}

function pipelineAt() {
  return last - pipeline.backlog;
}

/** Lets the pipeline take what waits; gives the CPU time that took, us. */
async function fold() {
  const before = process.cpuUsage();
  onDurable(last);
  while (pipeline.backlog > 0) await new Promise((resolve) => setImmediate(resolve));
  const { user, system } = process.cpuUsage(before);
  return user + system;
}
