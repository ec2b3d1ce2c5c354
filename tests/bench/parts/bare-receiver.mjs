// The bare receiver: MQTT.js, one persistent session, QoS 1, every message parsed as JSON, nothing else. The measure of the service's cost.
// A line on its standard input makes it tell the delays from publish to here (of each winder's first message) since the line before.
//
//   node tests/bench/parts/bare-receiver.mjs <broker url>
import mqtt from 'mqtt';

const [url] = process.argv.slice(2);
const client = mqtt.connect(url, {
  clientId: `bare-${process.pid}`,
  clean: false,
  protocolVersion: 5,
  properties: { sessionExpiryInterval: 60, receiveMaximum: 100 },
});
let sum = 0;
let delays;
client.handleMessage = (packet, done) => {
  const { v, p } = JSON.parse(packet.payload.toString());
  sum += v;
  if (delays !== undefined && packet.topic.endsWith('/speed'))
    delays.push(performance.timeOrigin + performance.now() - p);
  done();
};
await new Promise((resolve) => client.once('connect', resolve));
await client.subscribeAsync('bench/#', { qos: 1 });
console.log('subscribed');
process.stdin.on('data', () => {
  if (delays !== undefined) console.log(`delays ${JSON.stringify(delays)}`);
  delays = [];
});
// Whoever started it is gone.
process.stdin.on('end', () => process.exit(0));
process.on('SIGTERM', () => process.exit(Number.isFinite(sum) ? 0 : 1));
