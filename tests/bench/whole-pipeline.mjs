// CPU a message of the whole service (journal, decoding, assessment with forecast, store, live stream) over that of a bare MQTT.js QoS 1
// receive-and-parse, both subscribed to the same messages of one Mosquitto at the same time. Load: winders x 5 signals x 10 Hz, a message a signal.
//
//   npm run build && node tests/bench/whole-pipeline.mjs [winders=20] [seconds=30]
import mqtt from 'mqtt';
import { spawn } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const here = fileURLToPath(import.meta.url);
const service = fileURLToPath(new URL('../../apps/monitor/dist/main.js', import.meta.url));

if (process.argv[2] === 'bare') await bare(process.argv[3]);
else await compare(Number(process.argv[2] ?? 20), Number(process.argv[3] ?? 30));

async function bare(url) {
  const client = mqtt.connect(url, {
    clientId: 'bare',
    clean: false,
    protocolVersion: 5,
    properties: { sessionExpiryInterval: 60, receiveMaximum: 100 },
  });
  let sum = 0;
  client.handleMessage = (packet, done) => {
    sum += JSON.parse(packet.payload.toString()).v;
    done();
  };
  await new Promise((resolve) => client.once('connect', resolve));
  await client.subscribeAsync('bench/#', { qos: 1 });
  console.log('subscribed');
  process.on('SIGTERM', () => process.exit(Number.isFinite(sum) ? 0 : 1));
}

async function compare(winders, seconds) {
  const directory = mkdtempSync(join(tmpdir(), 'edge-margin-bench-'));
  const brokerPort = await freePort();
  writeFileSync(
    join(directory, 'mosquitto.conf'),
    `user root\nlistener ${brokerPort} 127.0.0.1\nallow_anonymous true\nmax_inflight_messages 100\nmax_queued_messages 100000\n`,
  );
  const broker = spawn('/usr/sbin/mosquitto', ['-c', join(directory, 'mosquitto.conf')], { stdio: 'ignore' });
  const url = `mqtt://127.0.0.1:${brokerPort}`;
  writeFileSync(join(directory, 'plant.yaml'), plantOf(winders));
  const children = [broker];
  try {
    await delay(500);
    const plain = started([here, 'bare', url]);
    children.push(plain.child);
    await plain.said('subscribed');
    const whole = started(
      [...(process.env.PROFILE ? ['--cpu-prof', '--cpu-prof-dir=/tmp/prof'] : []), service],
      {
        DATA_DIR: join(directory, 'data'),
        PLANT_FILE: join(directory, 'plant.yaml'),
        MQTT_URL: url,
        HTTP_PORT: '0',
        LOG_LEVEL: 'warn',
      },
    );
    children.push(whole.child);
    await whole.said('edge-margin: http');
    const gateway = await mqtt.connectAsync(url, { clientId: 'gateway' });
    const load = startLoad(gateway, winders);
    await delay(10_000);
    const before = {
      atMs: Date.now(),
      sent: load.sent(),
      plain: cpuS(plain.child.pid),
      whole: cpuS(whole.child.pid),
    };
    await delay(seconds * 1000);
    const after = {
      atMs: Date.now(),
      sent: load.sent(),
      plain: cpuS(plain.child.pid),
      whole: cpuS(whole.child.pid),
    };
    load.stop();
    await gateway.endAsync();
    const messages = after.sent - before.sent;
    const each = (name) => ((after[name] - before[name]) / messages) * 1e6;
    const row = {
      winders,
      messagesPerS: Math.round(messages / ((after.atMs - before.atMs) / 1000)),
      bareMicrosecondsPerMessage: round(each('plain')),
      serviceMicrosecondsPerMessage: round(each('whole')),
      ratio: round(each('whole') / each('plain')),
      serviceMemoryMiB: Math.round(rssBytes(whole.child.pid) / 2 ** 20),
    };
    console.log(JSON.stringify(row));
  } finally {
    for (const child of children.reverse()) child.kill('SIGTERM');
    await delay(1500);
    rmSync(directory, { recursive: true, force: true });
  }
}

function startLoad(client, winders) {
  let sent = 0;
  let n = 0;
  const startMs = Date.now();
  const timer = setInterval(() => {
    const t = Date.now();
    n += 1;
    const length = (6 * (t - startMs)) / 1000;
    const diameter = Math.sqrt(0.152 ** 2 + (4 * 60e-6 * length) / Math.PI) * 1000;
    const values = { speed: 360, diameter, tension: 120, load: 300, peak: 1.2 };
    for (let w = 0; w < winders; w += 1) {
      for (const [name, v] of Object.entries(values)) {
        client.publish(`bench/w${w}/a/${name}`, JSON.stringify({ t, n, v: v + (n % 7) * 0.01 }), { qos: 1 });
        sent += 1;
      }
    }
  }, 100);
  return { sent: () => sent, stop: () => clearInterval(timer) };
}

function plantOf(winders) {
  const winder = (w) => `
          - id: w${w}
            name: Winder ${w}
            limits:
              speedMPerS: { max: 12 }
              tensionNPerM: { min: 40, max: 300 }
              nipLoadNPerM: { min: 50, max: 800 }
              diameterM: { max: 0.8 }
            stations:
              - id: a
                name: A
                coreDiameterM: 0.152
                rolls: [{ id: only, widthM: 1.2 }]
                nip: { kind: lay-on roller, rollerDiameterM: 0.12, coverModulusPa: 3.0e+6, effectiveMassPerEndKg: 20 }
                defaultGrade: film`;
  const source = (name, signal, unit) => `
  - topic: bench/{winder}/{station}/${name}
    time: { pointer: /t, format: epoch-ms }
    sequence: /n
    signals: [{ signal: ${signal}, pointer: /v, unit: "${unit}", expectedPeriodS: 0.1, uncertaintyRatio: 0.002 }]`;
  return `plantFileVersion: 1
site: { id: bench, name: Bench }
areas:
  - id: area
    name: Area
    lines:
      - id: line
        name: Line
        winders:${Array.from({ length: winders }, (_, w) => winder(w)).join('')}
grades:
  - id: film
    name: Film
    caliperM: 60.0e-6
    combinedRoughnessM: 0.5e-6
    permeanceMPerPaS: 0
    setEndDiameterM: 0.6
    calibration: { ratedRolls: 20, criticalSpeedUncertaintyRatio: 0.03, approvedBy: bench, approvedOn: 2026-01-01 }
    activated: true
sources:${[source('speed', 'speed', 'm/min'), source('diameter', 'diameter', 'mm'), source('tension', 'tension', 'N/m'), source('load', 'nipLoad', 'N/m'), source('peak', 'nipAcceleration', 'm/s2')].join('')}
`;
}

function started(args, env = {}) {
  const child = spawn(process.execPath, args, {
    env: { ...process.env, ...env },
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  let output = '';
  child.stdout.on('data', (chunk) => (output += chunk));
  return {
    child,
    said: async (word) => {
      while (!output.includes(word)) await delay(50);
    },
  };
}

/** User and system time of a process with its threads, s. */
function cpuS(pid) {
  const fields = readFileSync(`/proc/${pid}/stat`, 'utf8')
    .replace(/^.*\) /, '')
    .split(' ');
  return (Number(fields[11]) + Number(fields[12])) / 100;
}

function rssBytes(pid) {
  return Number(/VmRSS:\s+(\d+)/.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))[1]) * 1024;
}

function freePort() {
  return new Promise((resolve) => {
    const server = createServer().listen(0, '127.0.0.1', () => {
      const { port } = server.address();
      server.close(() => resolve(port));
    });
  });
}

function delay(durationMs) {
  return new Promise((resolve) => setTimeout(resolve, durationMs));
}

function round(value) {
  return Math.round(value * 100) / 100;
}
