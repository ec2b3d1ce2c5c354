// What "acknowledged means on disk" costs: a bare MQTT.js QoS 1 receiver and the gate with the journal, one after the other on the same
// messages from a real Mosquitto. Each receiver and the publisher are processes of their own. Prints one JSON line a run:
// messages a second, CPU microseconds a message (whole process, writer thread included; and the main thread's share), loop delay.
//
//   npm run build && node tests/bench/ingest.mjs [messages=60000] [payload bytes=100] [rounds=3] [messages a second, 0: as fast as they go]
import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { monitorEventLoopDelay } from 'node:perf_hooks';
import { fileURLToPath } from 'node:url';
import { MqttClient, connect } from 'mqtt';

const roles = { bare, gated, publish };
const [first, ...rest] = process.argv.slice(2);
if (first in roles) await roles[first](...rest);
else
  await compare(
    ...[60_000, 100, 3, 0].map((otherwise, index) => Number(process.argv[2 + index] ?? otherwise)),
  );

async function compare(messages, payloadBytes, rounds, perSecond) {
  const broker = await startBroker();
  try {
    for (let round = 1; round <= rounds; round += 1) {
      for (const receiver of ['bare', 'gated']) {
        const topic = `bench/${receiver}-${round}`;
        const receiving = start(receiver, broker.url, topic, String(messages));
        await receiving.said('subscribed');
        const sending = start(
          'publish',
          broker.url,
          topic,
          String(messages),
          String(payloadBytes),
          String(perSecond),
        );
        const [result] = await Promise.all([receiving.ended, sending.ended]);
        console.log(JSON.stringify({ round, receiver, ...JSON.parse(result) }));
      }
    }
  } finally {
    broker.stop();
  }
}

function start(...args) {
  const child = spawn(process.execPath, [fileURLToPath(import.meta.url), ...args], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  let output = '';
  const waiting = [];
  child.stdout.on('data', (chunk) => {
    output += chunk;
    for (const { word, resolve } of waiting) if (output.includes(word)) resolve();
  });
  return {
    said: (word) => new Promise((resolve) => waiting.push({ word, resolve })),
    ended: new Promise((resolve, reject) => {
      child.once('exit', (code) =>
        code === 0 ? resolve(output.trim().split('\n').at(-1)) : reject(new Error(`${args[0]}: ${code}`)),
      );
    }),
  };
}

async function publish(url, topic, messages, payloadBytes, perSecond) {
  const client = connect(url, { protocolVersion: 5 });
  await new Promise((resolve) => client.once('connect', resolve));
  const payload = Buffer.alloc(Number(payloadBytes), 'x');
  const pause = () =>
    new Promise((resolve) => (Number(perSecond) === 0 ? setImmediate(resolve) : setTimeout(resolve, 1)));
  const beginAtMs = performance.now();
  let unacknowledged = 0;
  for (let n = 0; n < Number(messages); n += 1) {
    unacknowledged += 1;
    client.publish(topic, payload, { qos: 1 }, () => (unacknowledged -= 1));
    const dueMs = Number(perSecond) === 0 ? 0 : ((n + 1) / Number(perSecond)) * 1000;
    while (unacknowledged >= 500 || performance.now() - beginAtMs < dueMs) await pause();
  }
  while (unacknowledged > 0) await new Promise((resolve) => setImmediate(resolve));
  await client.endAsync();
}

function measured(messages, done) {
  const delay = monitorEventLoopDelay({ resolution: 1 });
  let count = 0;
  let begin;
  return () => {
    count += 1;
    if (count === 1) {
      begin = { atMs: performance.now(), cpu: process.cpuUsage(), loop: performance.eventLoopUtilization() };
      delay.enable();
    }
    if (count !== messages) return;
    const seconds = (performance.now() - begin.atMs) / 1000;
    const { user, system } = process.cpuUsage(begin.cpu);
    const { active } = performance.eventLoopUtilization(begin.loop);
    done({
      perSecond: Math.round(messages / seconds),
      cpuUsPerMessage: round1((user + system) / messages),
      mainThreadActiveUsPerMessage: round1((active * 1000) / messages),
      loopDelayMs: {
        median: round1(delay.percentile(50) / 1e6),
        p99: round1(delay.percentile(99) / 1e6),
        max: round1(delay.max / 1e6),
      },
    });
  };
}

function round1(value) {
  return Math.round(value * 10) / 10;
}

async function bare(url, topic, messages) {
  const { hostname, port } = new URL(url);
  const { createConnection } = await import('node:net');
  const client = new MqttClient(() => createConnection({ host: hostname, port: Number(port) }), {
    clientId: topic.replace('/', '-'),
    protocolVersion: 5,
    clean: false,
    manualConnect: true,
    properties: { sessionExpiryInterval: 60, receiveMaximum: 100 },
  });
  await new Promise((resolve) => {
    const count = measured(Number(messages), (result) => {
      console.log(JSON.stringify(result));
      resolve();
    });
    client.handleMessage = (_packet, done) => {
      count();
      done();
    };
    client.on('connect', () => client.subscribe(topic, { qos: 1 }, () => console.log('subscribed')));
    client.connect();
  });
  await client.endAsync();
}

async function gated(url, topic, messages) {
  const { createBrokerClient } = await import('../../apps/monitor/dist/ingest/broker-client.js');
  const { openJournal } = await import('../../libs/journal/dist/index.js');
  const directory = mkdtempSync(join(tmpdir(), 'edge-margin-bench-'));
  const journal = await openJournal({ directory });
  const client = createBrokerClient({
    url,
    clientId: topic.replace('/', '-'),
    subscriptions: [topic],
    protocolVersion: 5,
    journal,
    now: Date.now,
    log: { info: () => undefined, warn: (fields, text) => console.error(text, fields) },
  });
  let transactions = 0;
  journal.onDurable(() => (transactions += 1));
  await new Promise((resolve) => {
    const count = measured(Number(messages), (result) => {
      const { rss } = process.memoryUsage();
      console.log(
        JSON.stringify({
          ...result,
          rowsPerTransaction: Math.round(messages / transactions),
          rssMiB: Math.round(rss / 2 ** 20),
        }),
      );
      resolve();
    });
    journal.onAppend((row) => {
      if (row.kind === 'message') count();
    });
    const stopListening = client.onChange(() => {
      if (client.subscriptions().granted.length === 0) return;
      stopListening();
      console.log('subscribed');
    });
    client.start();
  });
  await client.stop();
  await journal.close();
  rmSync(directory, { recursive: true });
}

async function startBroker() {
  const port = await new Promise((resolve) => {
    const probe = createServer().listen(0, '127.0.0.1', () => {
      const { port: free } = probe.address();
      probe.close(() => resolve(free));
    });
  });
  const directory = mkdtempSync(join(tmpdir(), 'edge-margin-bench-broker-'));
  const file = join(directory, 'mosquitto.conf');
  writeFileSync(
    file,
    `listener ${port} 127.0.0.1\nallow_anonymous true\nmax_inflight_messages 100\nmax_queued_messages 1000000\n`,
  );
  const child = spawn(process.env.MOSQUITTO_PATH ?? '/usr/sbin/mosquitto', ['-c', file], { stdio: 'ignore' });
  await new Promise((resolve) => setTimeout(resolve, 500));
  return {
    url: `mqtt://127.0.0.1:${port}`,
    stop: () => {
      child.kill();
      rmSync(directory, { recursive: true });
    },
  };
}
