// The event loop of the service on a disk that takes 20 ms for every sync. The disk is made slow under the real service: a small library, compiled
// here and loaded before the C library, makes each fsync and fdatasync of the process (journal writer and store alike) wait 20 ms and then sync.
import { execFileSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { startBroker } from '../parts/broker.mjs';
import { startProgram } from '../parts/child.mjs';
import { round } from '../parts/figures.mjs';
import { startService } from '../parts/service.mjs';
import { delay, waitFor } from '../parts/wait.mjs';

const syncMs = 20;
const goalMs = 5;
const winders = 20;
const rateHz = 10;
const warmUpMs = 15_000;
const watchMs = 20_000;

export async function slowDiskRow() {
  const name = `event-loop delay p99 with a disk of ${syncMs} ms a sync`;
  const directory = mkdtempSync(join(tmpdir(), 'edge-margin-bench-'));
  const broker = await startBroker();
  try {
    const library = join(directory, 'slow-sync.so');
    execFileSync('cc', ['-shared', '-fPIC', '-O2', '-o', library, part('../parts/slow-sync.c'), '-ldl']);
    const normal = await watched(broker, directory, {});
    const slow = await watched(broker, directory, { LD_PRELOAD: library, SLOW_SYNC_MS: String(syncMs) });
    return {
      name,
      value: round(slow.p99Ms),
      unit: 'ms',
      goal: `<= ${goalMs}`,
      pass: slow.p99Ms <= goalMs,
      maxMs: round(slow.maxMs),
      p50Ms: round(slow.p50Ms),
      withTheDiskAsItIs: {
        p50Ms: round(normal.p50Ms),
        p99Ms: round(normal.p99Ms),
        maxMs: round(normal.maxMs),
      },
      howSlow: 'fsync and fdatasync of the real service delayed by a preloaded library',
    };
  } finally {
    await broker.stop();
    rmSync(directory, { recursive: true, force: true });
  }
}

async function watched(broker, directory, env) {
  const file = join(directory, `loop-${Object.keys(env).length}.jsonl`);
  const service = await startService({
    url: broker.url,
    winders,
    nodeArgs: ['--import', part('../parts/watch-loop.mjs')],
    env: { LOOP_FILE: file, ...env },
  });
  const load = startProgram([part('../parts/load.mjs'), broker.url, winders, rateHz, 'together']);
  try {
    await load.said('loading');
    const lines = () => (existsSync(file) ? readFileSync(file, 'utf8').trim().split('\n') : []);
    const tell = async (count) => {
      service.kill('SIGUSR2');
      await waitFor(() => lines().length === count, 'the delays of the loop');
    };
    await delay(warmUpMs);
    await tell(1);
    await delay(watchMs);
    await tell(2);
    return JSON.parse(lines()[1]);
  } finally {
    await load.stop();
    await service.stop();
  }
}

function part(path) {
  return fileURLToPath(new URL(path, import.meta.url));
}
