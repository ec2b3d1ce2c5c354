import { type Journal, openJournal } from '@edge-margin/journal';
import type { JournalRow } from '@edge-margin/telemetry';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { type BrokerClient, createBrokerClient } from '../../apps/monitor/src/ingest/broker-client.js';
import { type Mosquitto, startMosquitto } from '../services/support/mosquitto.js';
import { type RecordingProxy, startRecordingProxy } from './journal-recording-proxy.js';
import { canMount, mountSmallDisk, type SmallDisk } from './journal-small-disk.js';
import { startSteadyPublisher } from './journal-steady-publisher.js';

let disk: SmallDisk;

/** A full or read-only disk is a real one here; without the right to mount one there is nothing to test with. */
const describeWithDisk = (name: string, tests: () => void): void => {
  describe.runIf(canMount())(name, () => {
    beforeEach(() => {
      disk = mountSmallDisk(8);
    });
    afterEach(() => disk.dispose());
    tests();
  });
};

const positions = (rows: readonly JournalRow[]): number[] => rows.map((row) => row.position);
const upTo = (last: number): number[] => Array.from({ length: last }, (_, index) => index + 1);

describeWithDisk('a journal on a full disk', () => {
  it('says so, and goes on without loss, doubling or gap once there is room', async () => {
    const journal = await openJournal({ directory: join(disk.directory, 'journal'), retryMs: 50 });
    const heard: string[] = [];
    journal.onFailure((error) => heard.push(error.code));
    journal.onRecovery(() => heard.push('recovered'));
    for (let n = 1; n <= 200; n += 1) journal.append({ kind: 'tick', arrivedAtMs: n });
    await journal.flush();
    disk.fill();
    // Each transaction is some pages of log, so a few may still go into space the log has already.
    let n = 200;
    while (heard.length === 0) {
      journal.append({ kind: 'config', arrivedAtMs: (n += 1), plantFile: 'x'.repeat(50_000), revision: '0' });
      await new Promise((resolve) => setTimeout(resolve, 5));
    }
    expect(heard).toEqual(['disk-full']);
    for (let more = 0; more < 100; more += 1) journal.append({ kind: 'tick', arrivedAtMs: (n += 1) });
    await new Promise((resolve) => setTimeout(resolve, 500));
    expect(journal.durable()).toBeLessThan(n);
    expect(journal.failure()?.code).toBe('disk-full');
    disk.free();
    await journal.whenDurable(n);
    expect(heard).toEqual(['disk-full', 'recovered']);
    await journal.close();

    const again = await openJournal({ directory: join(disk.directory, 'journal') });
    const rows = again.read(1, Number.MAX_SAFE_INTEGER);
    expect(positions(rows)).toEqual(upTo(n));
    expect(rows.map((row) => row.arrivedAtMs)).toEqual(upTo(n));
    await again.close();
  });

  it('says so also where not even the next segment can be begun', async () => {
    const journal = await openJournal({ directory: disk.directory, retryMs: 50, segmentMaxBytes: 1 });
    await journal.whenDurable(journal.append({ kind: 'tick', arrivedAtMs: 1 }));
    disk.fill();
    const failed = new Promise<string>((resolve) => journal.onFailure((error) => resolve(error.code)));
    journal.append({ kind: 'tick', arrivedAtMs: 2 });
    expect(await failed).toBe('disk-full');
    disk.free();
    await journal.whenDurable(2);
    expect(positions(journal.read(1, 10))).toEqual([1, 2]);
    await journal.close();
  });
});

describeWithDisk('a journal on a disk that may not be written to', () => {
  it('says so, and goes on once it may', async () => {
    const journal = await openJournal({ directory: disk.directory, retryMs: 50 });
    disk.remount('ro');
    const failed = new Promise<string>((resolve) => journal.onFailure((error) => resolve(error.code)));
    journal.append({ kind: 'tick', arrivedAtMs: 1 });
    expect(await failed).toBe('read-only');
    disk.remount('rw');
    await journal.whenDurable(1);
    await journal.close();
  });
});

describeWithDisk('an ingest whose disk is full for a while', () => {
  let broker: Mosquitto;
  let proxy: RecordingProxy;
  let journal: Journal;
  let client: BrokerClient;

  beforeEach(async () => {
    broker = await startMosquitto();
    proxy = await startRecordingProxy(broker.port);
    journal = await openJournal({ directory: disk.directory, retryMs: 100 });
    client = createBrokerClient({
      url: proxy.url,
      clientId: 'monitor',
      subscriptions: ['plant/#'],
      protocolVersion: 5,
      journal,
      now: Date.now,
      log: { info: () => undefined, warn: () => undefined },
      random: () => 0,
      keepaliveS: 4,
    });
  });
  afterEach(async () => {
    await client.stop();
    await journal.close();
    await proxy.close();
    await broker.dispose();
  });

  it('acknowledges nothing meanwhile, gives the connection up, comes back, and has everything in the end', async () => {
    const reasons: string[] = [];
    client.onChange(() => reasons.push(client.link().detail ?? 'up'));
    client.start();
    await vi.waitFor(() => expect(client.subscriptions().granted).toHaveLength(1), 20_000);
    const publisher = await startSteadyPublisher(broker.url, 'plant/w', 300);
    await vi.waitFor(() => expect(proxy.acknowledged.size).toBeGreaterThan(200), 20_000);
    disk.fill();
    await vi.waitFor(() => expect(journal.failure()?.code).toBe('disk-full'), 20_000);
    const acknowledged = proxy.acknowledged.size;
    await vi.waitFor(() => expect(client.link().detail).toContain('JOURNAL_FAILING'), 20_000);
    expect(proxy.acknowledged.size).toBe(acknowledged);
    expect(reasons.some((reason) => reason.includes('JOURNAL_STALLED'))).toBe(true);
    disk.free();
    await vi.waitFor(() => expect(client.link().state).toBe('up'), 30_000);
    const published = await publisher.stop();
    await vi.waitFor(() => expect(proxy.acknowledged.size).toBe(published.length), 30_000);

    await journal.flush();
    const rows = journal.read(1, Number.MAX_SAFE_INTEGER);
    expect(positions(rows)).toEqual(upTo(journal.lastPosition()));
    const kept = new Set(
      rows.flatMap((row) => (row.kind === 'message' ? [Buffer.from(row.payload).toString()] : [])),
    );
    expect(published.filter((payload) => !kept.has(payload))).toEqual([]);
  });
});
