import { openJournal } from '@edge-margin/journal';
import type { MessageRow } from '@edge-margin/telemetry';
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { type Mosquitto, startMosquitto } from '../services/support/mosquitto.js';
import { type RecordingProxy, startRecordingProxy } from './journal-recording-proxy.js';
import { startSteadyPublisher } from './journal-steady-publisher.js';
import { seededRandom } from './support/seeded-random.js';

const childScript = fileURLToPath(new URL('journal-ingest-child.mjs', import.meta.url));
const kills = 20;
const perSecond = 3000;
const mostAhead = 20_000;
const seed = 20_261_125;

let directory: string;
let broker: Mosquitto;
let proxy: RecordingProxy;

beforeEach(async () => {
  directory = mkdtempSync(join(tmpdir(), 'edge-margin-kill-'));
  broker = await startMosquitto();
  proxy = await startRecordingProxy(broker.port);
});
afterEach(async () => {
  await proxy.close();
  await broker.dispose();
  rmSync(directory, { recursive: true });
});

async function startIngest(): Promise<{ readonly end: (signal: 'SIGKILL' | 'SIGTERM') => Promise<void> }> {
  const args = [childScript, proxy.url, directory, 'monitor', 'plant/#'];
  const child = spawn(process.execPath, args, { stdio: ['ignore', 'pipe', 'inherit'] });
  const exited = once(child, 'exit');
  await Promise.race([
    once(child.stdout, 'data'),
    exited.then(([code]) => Promise.reject(new Error(`the ingest ended with ${String(code)}`))),
  ]);
  return {
    end: async (signal) => {
      child.kill(signal);
      await exited;
    },
  };
}

async function messagesInJournal(): Promise<MessageRow[]> {
  const journal = await openJournal({ directory });
  const rows = journal.read(journal.firstPosition(), Number.MAX_SAFE_INTEGER);
  const segments = journal.segments().length;
  await journal.close();
  expect(segments).toBeGreaterThan(1);
  return rows.filter((row) => row.kind === 'message');
}

const textOf = (row: MessageRow): string => Buffer.from(row.payload).toString();

describe('an ingest that is killed under load', () => {
  it(`${kills} times: everything it acknowledged is in the journal, and in the end everything published, in order`, async () => {
    // The session must exist before the first message.
    await (await startIngest()).end('SIGTERM');
    const random = seededRandom(seed);
    const publisher = await startSteadyPublisher(
      broker.url,
      'plant/w',
      perSecond,
      (published) => published - proxy.acknowledged.size < mostAhead,
    );
    let killedAmidMessages = 0;
    for (let kill = 1; kill <= kills; kill += 1) {
      const before = proxy.acknowledged.size;
      const ingest = await startIngest();
      // Every other kill may fall into the connecting; the others fall among messages.
      if (kill % 2 === 0)
        await vi.waitFor(() => expect(proxy.acknowledged.size).toBeGreaterThan(before), {
          timeout: 30_000,
          interval: 1,
        });
      await new Promise((resolve) => setTimeout(resolve, random() * 400));
      await ingest.end('SIGKILL');
      if (proxy.acknowledged.size > before) killedAmidMessages += 1;
    }
    expect(killedAmidMessages).toBeGreaterThanOrEqual(kills / 2);

    const acknowledgedBeforeLast = [...proxy.acknowledged];
    const kept = new Set((await messagesInJournal()).map(textOf));
    expect(acknowledgedBeforeLast.filter((payload) => !kept.has(payload))).toEqual([]);

    const last = await startIngest();
    const published = await publisher.stop();
    await vi.waitFor(() => expect(proxy.acknowledged.size).toBe(published.length), {
      timeout: 60_000,
      interval: 100,
    });
    await last.end('SIGTERM');

    const rows = await messagesInJournal();
    const all = new Set(rows.map(textOf));
    expect(published.filter((payload) => !all.has(payload))).toEqual([]);
    expect(published.length).toBeGreaterThan(5 * perSecond);
    expectRedeliveriesMarked(rows);
    expectOrder(rows);
  });
});

/** A message that is there twice came again because its acknowledgement was lost, and the broker said so. */
function expectRedeliveriesMarked(rows: readonly MessageRow[]): void {
  const seen = new Set<string>();
  const unmarked = rows.filter((row) => seen.size === seen.add(textOf(row)).size && !row.dup);
  expect(unmarked.map(textOf)).toEqual([]);
}

/** Left aside what came again, each topic's messages are in the order published. */
function expectOrder(rows: readonly MessageRow[]): void {
  const last = new Map<string, number>();
  const outOfOrder = rows.filter((row) => {
    const number = Number(textOf(row));
    const before = last.get(row.topic) ?? 0;
    last.set(row.topic, Math.max(before, number));
    return number < before && !row.dup;
  });
  expect(outOfOrder.map(textOf)).toEqual([]);
}
