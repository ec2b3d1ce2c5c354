// A soak at twice the bench load: 20 winders x 5 signals x 20 Hz for some minutes. Memory and delay over time as small plots and as JSON; exit
// code 1 where they grow. On demand only, after a build:
//
//   node tests/bench/soak.mjs [minutes, 30] [file for the JSON]
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { startBroker } from './parts/broker.mjs';
import { startProgram } from './parts/child.mjs';
import { cpuUs, residentBytes } from './parts/process-cost.mjs';
import { startService } from './parts/service.mjs';
import { watchLive } from './parts/soak-live.mjs';
import { plot, verdictOn } from './parts/soak-report.mjs';
import { delay, waitFor } from './parts/wait.mjs';

const minutes = Number(process.argv[2] ?? 30);
const jsonFile = process.argv[3];
const winders = 20;
const rateHz = 20;
const everyMs = Math.max(2000, Math.min(15_000, minutes * 1000));
if (!(minutes > 0)) throw new RangeError(`minutes: a number above 0 is needed, got ${process.argv[2]}`);

const part = (path) => fileURLToPath(new URL(path, import.meta.url));
const probeDirectory = mkdtempSync(join(tmpdir(), 'edge-margin-soak-'));
const probeFile = join(probeDirectory, 'memory.jsonl');
const broker = await startBroker();
const service = await startService({
  url: broker.url,
  winders,
  nodeArgs: ['--import', part('../faults/support/memory-probe.mjs')],
  env: { MEMORY_PROBE_FILE: probeFile, HTTP_OPEN_VIEWING: 'yes' },
});
const live = await watchLive(`${service.address}/api/live`);
const load = startProgram([part('parts/load.mjs'), broker.url, winders, rateHz, 'apart']);
await load.said('loading');

const samples = [];
const begin = performance.now();
const lines = () => (existsSync(probeFile) ? readFileSync(probeFile, 'utf8').trim().split('\n') : []);
let cpuBefore = cpuUs(service.pid);
live.take();
while (performance.now() - begin < minutes * 60_000) {
  await delay(everyMs);
  const delays = live.take();
  const cpuNow = cpuUs(service.pid);
  const resident = residentBytes(service.pid);
  const before = lines().length;
  service.kill('SIGUSR2');
  await waitFor(() => lines().length > before, 'the service to tell its memory');
  const memory = JSON.parse(lines().at(-1));
  samples.push({
    atS: Math.round((performance.now() - begin) / 1000),
    heapMB: memory.heapUsed / 1e6,
    residentMB: resident / 1e6,
    delayP50Ms: delays.p50Ms,
    delayP99Ms: delays.p99Ms,
    assessments: delays.count,
    cpuShare: (cpuNow - cpuBefore) / 1000 / everyMs,
  });
  cpuBefore = cpuUs(service.pid);
  live.take();
}
load.ask('how many');
await load.said('sent');
const sent = Number(/sent (\d+)/.exec(load.output())[1]);
live.stop();
await load.stop();
await service.stop();
await broker.stop();
rmSync(probeDirectory, { recursive: true, force: true });

const rows = [
  ['heapMB', 'heap in use after a collection, MB'],
  ['residentMB', 'resident memory, MB'],
  ['delayP50Ms', 'source to live page, median of the interval, ms'],
  ['delayP99Ms', 'source to live page, 99th of 100, ms'],
  ['cpuShare', 'share of one core'],
];
for (const [key, title] of rows)
  console.log(
    plot(
      title,
      samples.map((sample) => sample[key]),
    ),
  );
const verdict = verdictOn(samples);
const report = { minutes, winders, signals: 5, rateHz, sent, everyS: everyMs / 1000, verdict, samples };
if (jsonFile === undefined) console.log(JSON.stringify(report));
else writeFileSync(jsonFile, `${JSON.stringify(report, null, 2)}\n`);
for (const { what, from, to, mayGrowTo, grows } of verdict)
  console.log(
    `${grows ? 'GROWS' : 'flat '} ${what}: ${from.toFixed(1)} -> ${to.toFixed(1)} (up to ${mayGrowTo.toFixed(1)} counts as flat)`,
  );
console.log(`${sent} messages in ${minutes} min, ${(sent / minutes / 60).toFixed(0)} a second`);
process.exitCode = verdict.some(({ grows }) => grows) ? 1 : 0;
