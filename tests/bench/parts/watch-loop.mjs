// For `--import`: watches the event loop of the program it is loaded into. On SIGUSR2 it writes the delays since the last one (ms, less the
// millisecond of the measuring timer itself) into LOOP_FILE, a JSON line each time.
import { appendFileSync } from 'node:fs';
import { monitorEventLoopDelay } from 'node:perf_hooks';
import { isMainThread } from 'node:worker_threads';

if (isMainThread) {
  const delay = monitorEventLoopDelay({ resolution: 1 });
  delay.enable();
  const ms = (nanoseconds) => Math.max(0, nanoseconds / 1e6 - 1);
  process.on('SIGUSR2', () => {
    const line = { p50Ms: ms(delay.percentile(50)), p99Ms: ms(delay.percentile(99)), maxMs: ms(delay.max) };
    appendFileSync(process.env.LOOP_FILE, `${JSON.stringify(line)}\n`);
    delay.reset();
  });
}
