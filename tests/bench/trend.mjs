/**
 * A trend of 24 h at 10 Hz to 2000 points, from the local store as the HTTP side reads it, JSON of the answer included; beside it the same from
 * the points themselves, as it would be without roll-ups, in the same run. The file holds three other series of the same kind.
 */
import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { openStore } from '../../libs/store-sqlite/dist/index.js';
import { createTrendReader } from '../../apps/monitor/dist/records/trend-reader.js';

const hours = 24;
const stepMs = 100;
const fields = 4;
const maxPoints = 2000;
const goalMs = 100;

export async function trendRow() {
  const directory = mkdtempSync(join(tmpdir(), 'edge-margin-bench-'));
  const path = join(directory, 'store.sqlite');
  try {
    const written = fill(path);
    const store = openStore(path); // anew: nothing is in SQLite's cache
    const rolledUpS = rollUpAll(store);
    store.close();
    const again = openStore(path);
    const read = createTrendReader(again, undefined);
    const { startMs } = written;
    const ranges = Array.from({ length: 10 }, (_, n) => ({
      id: idOf(n % fields),
      fromMs: startMs + n * 7001,
      toMs: startMs + hours * 3_600_000 + n * 7001,
      maxPoints,
    }));
    const withRollUps = await times(ranges, async (query) => JSON.stringify(await read(query)).length);
    const fromPoints = await times(ranges, async (query) => JSON.stringify(again.series.query(query)).length);
    const { points, resolution } = await read(ranges[0]);
    again.close();
    const medianMs = median(withRollUps);
    return {
      name: `trend of ${hours} h at ${1000 / stepMs} Hz to ${maxPoints} points`,
      value: round(medianMs),
      unit: 'ms',
      goal: `<= ${goalMs}`,
      pass: medianMs <= goalMs,
      firstMs: round(withRollUps[0]),
      slowestMs: round(Math.max(...withRollUps)),
      withoutRollUpsMs: round(median(fromPoints)),
      pointsGiven: points.length,
      resolution,
      rows: written.rows,
      bytesPerRow: round(written.bytes / written.rows),
      bytesPerRollUp: round(
        (statSync(path).size - written.bytes) /
          (written.rows / 100 + written.rows / 600 + written.rows / 36_000),
      ),
      rollUpMicrosecondsPerRow: round((rolledUpS * 1e6) / written.rows),
    };
  } finally {
    rmSync(directory, { recursive: true, force: true });
  }
}

function idOf(n) {
  return { measurement: 'reading', winderId: 'w1', stationId: 'a', end: 'both', field: `field${n}` };
}

/** A day of every field, as it would have come: second by second. */
function fill(path) {
  const store = openStore(path);
  const startMs = 1_790_000_000_000;
  const perWrite = 600;
  const count = (hours * 3_600_000) / stepMs;
  for (let first = 0; first < count; first += perWrite) {
    const samples = [];
    for (let index = first; index < first + perWrite; index += 1)
      for (let n = 0; n < fields; n += 1)
        samples.push({
          ...idOf(n),
          atMs: startMs + index * stepMs,
          value: Math.sin(index / 5000) * 10 + ((index * 7919) % 101) / 50,
        });
    store.series.write(samples);
  }
  const bytes = store.retention.usedBytes();
  store.close();
  return { startMs, rows: count * fields, bytes };
}

function rollUpAll(store) {
  const startedS = performance.now() / 1000;
  while (!store.rollUps.rollUpDue(Number.MAX_SAFE_INTEGER, 20).done);
  return performance.now() / 1000 - startedS;
}

async function times(ranges, work) {
  const all = [];
  for (const range of ranges) {
    const startedMs = performance.now();
    await work(range);
    all.push(performance.now() - startedMs);
  }
  return all;
}

const median = (values) => [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)];
const round = (value) => Number(value.toPrecision(3));

if (import.meta.url === pathToFileURL(process.argv[1]).href) console.log(await trendRow());
