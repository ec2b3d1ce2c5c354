/**
 * Rows a second that the replica brings to a real InfluxDB, beside plain HTTP writes of the same rows: the same lines, encoded and compressed
 * beforehand, posted one after the other. And what bringing up a backlog at the set rate does to the event loop.
 */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { spawn } from 'node:child_process';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { monitorEventLoopDelay } from 'node:perf_hooks';
import { setTimeout as delay } from 'node:timers/promises';
import { pathToFileURL } from 'node:url';
import { gzipSync } from 'node:zlib';
import { createReplica } from '../../libs/store-influx/dist/index.js';
import { createLineEncoder } from '../../libs/store-influx/dist/line-protocol.js';
import { openStore } from '../../libs/store-sqlite/dist/index.js';
import { installedProgram } from '../services/support/provide.mjs';

const batchRows = 5000;
const batches = 10;
const roundsWanted = 7;
const goal = 0.5;

export async function replicaRow() {
  const directory = mkdtempSync(join(tmpdir(), 'edge-margin-bench-'));
  const influx = await startInflux(directory);
  const store = openStore(join(directory, 'store.sqlite'));
  try {
    store.replica.addReplica('influx');
    // In short turns, so that neither finds another machine than the other.
    const rounds = [];
    let cpuPerRow = 0;
    for (let round = 0; round < roundsWanted; round += 1) {
      fill(store, round);
      const plain = await plainWrites(store, influx.url, round);
      const replica = await replicaWrites(store, influx.url, 1e9, round);
      cpuPerRow += replica.microsecondsCpuPerRow / roundsWanted;
      rounds.push({
        plain: plain.rowsPerS,
        replica: replica.rowsPerS,
        ratio: replica.rowsPerS / plain.rowsPerS,
      });
    }
    const idle = await idleDelay();
    fill(store, 99);
    const paced = await replicaWrites(store, influx.url, 10_000, 99);
    const middle = rounds.sort((a, b) => a.ratio - b.ratio)[Math.floor(roundsWanted / 2)];
    return {
      name: 'replica rows/s / plain HTTP writes of the same rows',
      value: round3(middle.ratio),
      unit: '1',
      goal: `>= ${goal}`,
      pass: middle.ratio >= goal,
      replicaRowsPerS: Math.round(middle.replica),
      plainRowsPerS: Math.round(middle.plain),
      ratios: rounds.map(({ ratio }) => round3(ratio)),
      replicaMicrosecondsCpuPerRow: round3(cpuPerRow),
      catchUpRowsPerS: Math.round(paced.rowsPerS),
      idleEventLoopDelayP99Ms: round3(idle.p99Ms),
      idleEventLoopDelayMaxMs: round3(idle.maxMs),
      catchUpEventLoopDelayP99Ms: round3(paced.delayP99Ms),
      catchUpEventLoopDelayMaxMs: round3(paced.delayMaxMs),
      catchUpCpuShare: round3(paced.cpuShare),
    };
  } finally {
    store.close();
    await influx.stop();
    rmSync(directory, { recursive: true, force: true });
  }
}

/** Readings of 20 winders, 5 signals each, 10 a second. */
function fill(store, round) {
  const fields = ['speed', 'diameter', 'tension', 'nipLoad', 'nipAcceleration'];
  const startMs = 1_700_000_000_000 + round * 1e9;
  let atMs = startMs;
  for (let written = 0; written < batchRows * batches; atMs += 100) {
    const samples = [];
    for (let w = 0; w < 20; w += 1)
      for (const field of fields)
        samples.push({
          measurement: 'reading',
          winderId: `w${w}`,
          stationId: 'a',
          end: 'both',
          field,
          atMs,
          value: 10 + ((written * 7919) % 1013) / 100,
        });
    store.series.write(samples);
    written += samples.length;
  }
}

async function plainWrites(store, url, round) {
  const encode = createLineEncoder(tagsOf);
  const bodies = [];
  let seq = store.replica.readCursor('influx');
  for (;;) {
    const rows = store.replica.samplesAfter(seq, batchRows);
    if (rows.length === 0) break;
    bodies.push(gzipSync(encode(rows.map(({ sample }) => sample)).body, { level: 1 }));
    seq = rows.at(-1).seq;
  }
  await make(url, `plain${round}`);
  const startedMs = performance.now();
  for (const body of bodies) {
    const answer = await fetch(`${url}/write?db=plain${round}&precision=ms`, {
      method: 'POST',
      body,
      headers: { 'content-encoding': 'gzip' },
    });
    if (answer.status !== 204) throw new Error(`plain write: ${answer.status}`);
  }
  return { rowsPerS: (bodies.length * batchRows * 1000) / (performance.now() - startedMs) };
}

/** What the machine does to a loop that has nothing to do. */
async function idleDelay() {
  const loop = monitorEventLoopDelay({ resolution: 1 });
  loop.enable();
  await delay(4000);
  loop.disable();
  return { p99Ms: loop.percentile(99) / 1e6, maxMs: loop.max / 1e6 };
}

async function replicaWrites(store, url, catchUpRowsPerS, round) {
  await make(url, `replica${round}`);
  const replica = createReplica({
    url,
    database: `replica${round}`,
    store: store.replica,
    tagsOf,
    catchUpRowsPerS,
    batchRows,
  });
  const loop = monitorEventLoopDelay({ resolution: 1 });
  const rows = store.replica.behind('influx');
  const cpu = process.cpuUsage();
  loop.enable();
  const startedMs = performance.now();
  replica.start();
  while (store.replica.behind('influx') > 0) await delay(20);
  const tookMs = performance.now() - startedMs;
  loop.disable();
  const used = process.cpuUsage(cpu);
  await replica.stop();
  return {
    rowsPerS: (rows * 1000) / tookMs,
    microsecondsCpuPerRow: (used.user + used.system) / rows,
    delayP99Ms: loop.percentile(99) / 1e6,
    delayMaxMs: loop.max / 1e6,
    cpuShare: (used.user + used.system) / 1000 / tookMs,
  };
}

const tagsOf = () => ({ site: 'bench', area: 'area', line: 'line' });
const round3 = (value) => Number(value.toPrecision(3));

async function make(url, database) {
  await fetch(`${url}/query`, {
    method: 'POST',
    body: new URLSearchParams({ q: `CREATE DATABASE ${database}` }),
  });
}

async function freePort() {
  const server = createServer();
  await new Promise((resolve) => server.listen(0, '127.0.0.1', resolve));
  const { port } = server.address();
  await new Promise((resolve) => server.close(resolve));
  return port;
}

async function startInflux(directory) {
  const program = installedProgram('influxdb');
  if (program === undefined)
    throw new Error('this row needs an installed influxd (INFLUXD_PATH names another place)');
  const port = await freePort();
  const file = join(directory, 'influxdb.conf');
  writeFileSync(
    file,
    `reporting-disabled = true
bind-address = "127.0.0.1:${await freePort()}"
[meta]
  dir = "${directory}/meta"
[data]
  dir = "${directory}/data"
  wal-dir = "${directory}/wal"
[http]
  bind-address = "127.0.0.1:${port}"
  log-enabled = false
[monitor]
  store-enabled = false
`,
  );
  const child = spawn(program, ['run', '-config', file], { stdio: 'ignore' });
  const url = `http://127.0.0.1:${port}`;
  const deadline = Date.now() + 30_000;
  while ((await fetch(`${url}/ping`).catch(() => undefined))?.status !== 204) {
    if (Date.now() > deadline) throw new Error('influxd does not answer');
    await delay(100);
  }
  return {
    url,
    stop: async () => {
      child.kill('SIGTERM');
      await new Promise((resolve) => child.once('exit', resolve));
    },
  };
}

if (import.meta.url === pathToFileURL(process.argv[1]).href) console.log(await replicaRow());
