// Loaded before the program (node --import): on SIGUSR2 it collects garbage and appends what memory is then in use, as a line of JSON, to the
// file named by MEMORY_PROBE_FILE.
import { appendFileSync } from 'node:fs';
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';

setFlagsFromString('--expose-gc');
const collectGarbage = runInNewContext('gc');

process.on('SIGUSR2', () => {
  collectGarbage();
  const { rss, heapUsed, external } = process.memoryUsage();
  appendFileSync(process.env['MEMORY_PROBE_FILE'] ?? '', `${JSON.stringify({ rss, heapUsed, external })}\n`);
});
