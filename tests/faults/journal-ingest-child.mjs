// The ingest as a process of its own, so that it can be killed: what the service runs, from the build. Ends in good order on SIGTERM.
//   node journal-ingest-child.mjs <broker url> <journal directory> <client id> <topic filter>
import { createBrokerClient } from '../../apps/monitor/dist/ingest/broker-client.js';
import { openJournal } from '../../libs/journal/dist/index.js';

const [url, directory, clientId, filter] = process.argv.slice(2);
// Small segments, so that kills also fall between one and the next.
const journal = await openJournal({ directory, segmentMaxBytes: 256 * 1024 });
const client = createBrokerClient({
  url,
  clientId,
  subscriptions: [filter],
  protocolVersion: 5,
  journal,
  now: Date.now,
  log: { info: () => undefined, warn: (fields, text) => console.error(text, JSON.stringify(fields)) },
  random: () => 0,
});
client.onChange(() => console.log(client.link().state));
client.start();
process.once('SIGTERM', async () => {
  await client.stop();
  await journal.close();
  process.exit(0);
});
