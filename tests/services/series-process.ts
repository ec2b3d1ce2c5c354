// A process that a test starts and kills: `hold <dir>` takes the lock of the data directory; `write <dir>` commits one batch after the other.
import { join } from 'node:path';
import { lockDataDir, openStore } from '@edge-margin/store-sqlite';

const [task = '', dir = ''] = process.argv.slice(2);
lockDataDir(dir);
process.stdout.write('locked\n');
if (task === 'write') {
  const store = openStore(join(dir, 'store.sqlite'));
  store.replica.addReplica('influx');
  for (let position = store.readPosition() + 1; ; position += 1) {
    const samples = Array.from({ length: 20 }, (_, index) => ({
      measurement: 'reading' as const,
      winderId: 'w1',
      stationId: 'a',
      end: 'both' as const,
      field: `field-${index}`,
      atMs: position,
      value: position,
    }));
    const stationStates = [{ stationKey: 'w1/a', json: JSON.stringify({ position }) }];
    const outbox = [
      { id: `message-${position}`, topic: 't', payload: String(position), retain: false, qos: 1 as const },
    ];
    store.commitBatch({ position, samples, stationStates, outbox, decoderState: String(position) });
    process.stdout.write(`${position}\n`);
  }
}
setInterval(() => undefined, 1000);
