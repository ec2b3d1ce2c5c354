// The load: winders x 5 signals x a rate, a message a signal, from one gateway process at QoS 1.
//   together: every winder's five messages at the same instant, so one burst of all winders a period
//   apart: each winder at an instant of its own, spread over the period, its five messages together
// Each payload holds the source's time `t`, its number `n`, the value `v`, and `p`: when it was handed to the client, ms with decimals.
//
//   node tests/bench/parts/load.mjs <broker url> <winders> <rate, Hz> <together|apart>
import mqtt from 'mqtt';
import { signals, valuesAt } from './plant.mjs';

const [url, winderCount, rateHz, shape] = process.argv.slice(2);
const winders = Number(winderCount);
const periodMs = 1000 / Number(rateHz);
const client = await mqtt.connectAsync(url, { clientId: `gateway-${process.pid}` });
const startMs = Date.now();
const begin = performance.now();
const due = Array.from({ length: winders }, (_, winder) => ({
  winder,
  n: 0,
  atMs: periodMs + (shape === 'together' ? 0 : (winder * periodMs) / winders),
}));
let sent = 0;
let stopped = false;

console.log('loading');
process.stdin.on('data', () => console.log(`sent ${sent}`));
// Whoever started it is gone.
process.stdin.on('end', () => process.exit(0));
process.on('SIGTERM', () => {
  stopped = true;
  client.end(false, {}, () => process.exit(0));
});
turn();

function turn() {
  if (stopped) return;
  const nowMs = performance.now() - begin;
  let nextMs = Infinity;
  for (const one of due) {
    if (one.atMs <= nowMs) {
      publish(one);
      one.atMs += periodMs;
    }
    nextMs = Math.min(nextMs, one.atMs);
  }
  setTimeout(turn, Math.max(0, nextMs - (performance.now() - begin)));
}

function publish(one) {
  const t = Date.now();
  one.n += 1;
  const values = valuesAt((t - startMs) / 1000, one.n);
  for (const signal of signals) {
    const p = performance.timeOrigin + performance.now();
    client.publish(
      `bench/w${one.winder}/a/${signal}`,
      JSON.stringify({ t, n: one.n, v: values[signal], p }),
      { qos: 1 },
    );
    sent += 1;
  }
}
