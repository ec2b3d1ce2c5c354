import { type Journal, openJournal } from '@edge-margin/journal';
import type { JournalRow, LinkRow, MessageRow } from '@edge-margin/telemetry';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type BrokerClient, createBrokerClient } from '../../../apps/monitor/src/ingest/broker-client.js';
import type { BrokerClientOptions } from '../../../apps/monitor/src/ingest/broker-client-options.js';

/** One ingest with its own journal, in this process. */
export interface Ingest {
  readonly client: BrokerClient;
  readonly journal: Journal;
  readonly rows: readonly JournalRow[];
  /** What it said to the log as warnings. */
  readonly warnings: readonly string[];
  readonly links: () => readonly LinkRow[];
  /** Payloads of the messages as text. */
  readonly texts: () => readonly string[];
  /** Codes of what is wrong now. */
  readonly troubles: () => readonly string[];
  readonly stop: () => Promise<void>;
}

/** Starts one. Subscribes to `plant/+/m/#` unless told otherwise. */
export async function startIngest(
  options: Partial<BrokerClientOptions> & { readonly url: string },
): Promise<Ingest> {
  const directory = mkdtempSync(join(tmpdir(), 'edge-margin-broker-'));
  const journal = await openJournal({ directory });
  const rows: JournalRow[] = [];
  const warnings: string[] = [];
  journal.onAppend((row) => rows.push(row));
  const client = createBrokerClient({
    clientId: 'monitor',
    subscriptions: ['plant/+/m/#'],
    protocolVersion: 5,
    journal,
    now: Date.now,
    log: { info: () => undefined, warn: (_fields, text) => void warnings.push(text) },
    random: () => 0,
    ...options,
  });
  client.start();
  return {
    client,
    journal,
    rows,
    warnings,
    links: () => rows.filter((row): row is LinkRow => row.kind === 'link'),
    texts: () =>
      rows
        .filter((row): row is MessageRow => row.kind === 'message')
        .map((row) => Buffer.from(row.payload).toString()),
    troubles: () => client.trouble().map(({ code }) => code),
    stop: async () => {
      await client.stop();
      await journal.close();
      rmSync(directory, { recursive: true });
    },
  };
}
