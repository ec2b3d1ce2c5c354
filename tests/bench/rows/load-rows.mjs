// CPU and delay of the whole service at the load of 20 winders x 5 signals x 10 Hz, beside a bare receiver of the same messages, at the same time.
import mqtt from 'mqtt';
import { fileURLToPath } from 'node:url';
import { startBroker } from '../parts/broker.mjs';
import { startProgram } from '../parts/child.mjs';
import { median, quantile, round } from '../parts/figures.mjs';
import { watchLive } from '../parts/live-delays.mjs';
import { cpuUs, residentBytes } from '../parts/process-cost.mjs';
import { startService } from '../parts/service.mjs';
import { delay, waitFor } from '../parts/wait.mjs';

const winders = 20;
const rateHz = 10;
const warmUpMs = 25_000;
const rounds = 6;
const roundMs = 5000;
const delayMs = 15_000;
const cpuGoal = 2;
const delayGoal = 3;
const shapes = {
  together: 'all winders at the same instant',
  apart: 'each winder at an instant of its own',
};

/** Two rows a shape of the load: CPU a message, and delay. */
export async function loadRows() {
  const broker = await startBroker();
  const bare = startProgram([part('../parts/bare-receiver.mjs'), broker.url]);
  await bare.said('subscribed');
  const service = await startService({
    url: broker.url,
    winders,
    env: { HTTP_OPEN_VIEWING: 'yes' },
  });
  try {
    const rows = [];
    for (const shape of Object.keys(shapes)) {
      const load = startProgram([part('../parts/load.mjs'), broker.url, winders, rateHz, shape]);
      await load.said('loading');
      await delay(rows.length === 0 ? warmUpMs : 5000);
      const cost = await cpuRow(shape, { bare, service });
      const delayed = await delayRow(shape, { bare, broker, service });
      rows.push(cost, delayed);
      await load.stop();
    }
    return rows;
  } finally {
    await service.stop();
    await bare.stop();
    await broker.stop();
  }
}

async function cpuRow(shape, { bare, service }) {
  const messages = (winders * 5 * rateHz * roundMs) / 1000;
  const each = [];
  for (let turn = 0; turn < rounds; turn += 1) {
    const before = [cpuUs(service.pid), cpuUs(bare.pid), performance.now()];
    await delay(roundMs);
    const share = roundMs / (performance.now() - before[2]) / messages;
    const serviceUs = (cpuUs(service.pid) - before[0]) * share;
    const bareUs = (cpuUs(bare.pid) - before[1]) * share;
    each.push({ serviceUs, bareUs, ratio: serviceUs / bareUs });
  }
  const of = (name) => each.map((one) => one[name]);
  const value = round(median(of('ratio')));
  return {
    name: `CPU a message, service / bare QoS 1 receive-and-parse (${winders} winders, ${shapes[shape]})`,
    value,
    unit: '1',
    goal: `<= ${cpuGoal}`,
    pass: value <= cpuGoal,
    ratioMin: round(Math.min(...of('ratio'))),
    ratioMax: round(Math.max(...of('ratio'))),
    serviceUsPerMessage: round(median(of('serviceUs'))),
    bareUsPerMessage: round(median(of('bareUs'))),
    serviceMemoryMiB: Math.round(residentBytes(service.pid) / 2 ** 20),
  };
}

async function delayRow(shape, { bare, broker, service }) {
  const live = await watchLive(service.address, (seen) => firstMessages(broker.url, seen));
  bare.ask('begin');
  await delay(delayMs);
  const told = bare.output().length;
  bare.ask('tell');
  const delays = live.delays();
  await live.stop();
  const answer = () => /delays (\[.*\])\n/.exec(bare.output().slice(told));
  await waitFor(() => answer() !== null, 'the bare delays');
  const bareDelays = JSON.parse(answer()[1]);
  const ratio = (share) => quantile(delays, share) / quantile(bareDelays, share);
  const value = round(ratio(0.5));
  const p99 = round(ratio(0.99));
  return {
    name: `publish-to-live delay / bare broker round trip, p50 (${shapes[shape]})`,
    value,
    unit: '1',
    goal: `<= ${delayGoal}, p99 too`,
    pass: value <= delayGoal && p99 <= delayGoal,
    p99Ratio: p99,
    liveP50Ms: round(quantile(delays, 0.5)),
    liveP99Ms: round(quantile(delays, 0.99)),
    bareP50Ms: round(quantile(bareDelays, 0.5)),
    bareP99Ms: round(quantile(bareDelays, 0.99)),
    assessments: delays.length,
  };
}

/** Tells of each winder's first message, by its topic's winder. */
async function firstMessages(url, seen) {
  const client = await mqtt.connectAsync(url, { clientId: `watch-${process.pid}` });
  client.on('message', (topic, payload) => seen(topic.split('/')[1], JSON.parse(payload.toString())));
  await client.subscribeAsync('bench/+/a/speed', { qos: 0 });
  return () => client.endAsync();
}

function part(path) {
  return fileURLToPath(new URL(path, import.meta.url));
}
