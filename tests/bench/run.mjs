// All measurements one after the other, on this machine over loopback, in some six minutes: a table for people, .tmp/bench.json for programs.
// Exit code 1 only where a row could not be measured; a goal that is missed is a finding, not a failure.
//
//   npm run bench [-- row ...]      rows: air load scaling slow-disk crash trend replica
import { mkdirSync, writeFileSync } from 'node:fs';
import { cpus, loadavg } from 'node:os';
import { fileURLToPath } from 'node:url';

const measurements = {
  air: async () => (await import('./rows/air-film-rows.mjs')).airFilmRows(),
  load: async () => (await import('./rows/load-rows.mjs')).loadRows(),
  scaling: async () => (await import('./rows/scaling-rows.mjs')).scalingRows(),
  'slow-disk': async () => [await (await import('./rows/slow-disk-row.mjs')).slowDiskRow()],
  crash: async () => (await import('./rows/crash-rows.mjs')).crashRows(),
  trend: async () => [await (await import('./trend.mjs')).trendRow()],
  replica: async () => [await (await import('./replica.mjs')).replicaRow()],
};
const wanted = process.argv.length > 2 ? process.argv.slice(2) : Object.keys(measurements);
const rows = [];
const begin = performance.now();
for (const name of wanted) {
  const measure = measurements[name];
  if (measure === undefined)
    throw new RangeError(`${name}: one of ${Object.keys(measurements).join(', ')} is needed`);
  process.stderr.write(`measuring ${name} ...\n`);
  rows.push(...(await measured(name, measure)));
}
const report = {
  at: new Date().toISOString(),
  seconds: Math.round((performance.now() - begin) / 1000),
  node: process.version,
  machine: { cpus: cpus().length, model: cpus()[0]?.model, load: loadavg() },
  rows,
};
const file = fileURLToPath(new URL('../../.tmp/bench.json', import.meta.url));
mkdirSync(fileURLToPath(new URL('../../.tmp', import.meta.url)), { recursive: true });
writeFileSync(file, `${JSON.stringify(report, null, 2)}\n`);
console.log(table(rows));
console.log(
  `\n${report.seconds} s; load of the machine ${loadavg()
    .map((load) => load.toFixed(1))
    .join(' ')} on ${cpus().length} processors; ${file}`,
);
process.exit(rows.some((row) => row.error !== undefined) ? 1 : 0);

async function measured(name, measure) {
  const startedS = performance.now() / 1000;
  try {
    const found = await measure();
    const tookS = Math.round(performance.now() / 1000 - startedS);
    return found.map((row) => ({ ...row, tookS }));
  } catch (error) {
    return [{ name, value: null, unit: '', goal: null, pass: null, error: error.message }];
  }
}

function table(all) {
  const lines = all.map((row) => [
    row.name,
    row.value === null ? '-' : `${row.value}${row.unit === '1' ? '' : ` ${row.unit}`}`,
    row.goal ?? '',
    verdict(row),
    detail(row),
  ]);
  const width = (column) => Math.max(...lines.map((line) => line[column].length));
  const widths = [0, 1, 2, 3].map(width);
  return lines
    .map((line) =>
      line
        .map((cell, column) => cell.padEnd(widths[column] ?? 0))
        .join('  ')
        .trimEnd(),
    )
    .join('\n');
}

function verdict({ pass, error }) {
  if (error !== undefined) return 'NOT MEASURED';
  return pass === null || pass === undefined ? '' : pass ? 'met' : 'missed';
}

function detail(row) {
  if (row.error !== undefined) return row.error;
  const known = new Set(['name', 'value', 'unit', 'goal', 'pass', 'tookS']);
  const rest = Object.entries(row).filter(([key]) => !known.has(key));
  return rest.map(([key, value]) => `${key} ${JSON.stringify(value)}`).join(', ');
}
