import { createReplica, type Replica } from '@edge-margin/store-influx';
import { openStore, type Store } from '@edge-margin/store-sqlite';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { eventually } from './support/eventually.js';
import { type Influx, startInflux } from './support/influx.js';
import { dataDirectory } from './support/service.js';

const dayMs = 86_400_000;

describe('retention policies in a real InfluxDB', () => {
  const data = dataDirectory();
  let influx: Influx;
  let store: Store;
  let replica: Replica | undefined;
  beforeAll(async () => {
    influx = await startInflux();
    store = openStore(join(data.path, 'store.sqlite'));
  });
  afterAll(async () => {
    store.close();
    await influx.dispose();
    data.remove();
  });

  const ask = async (statement: string): Promise<readonly unknown[][]> => {
    const body = new URLSearchParams({ q: statement });
    const response = await fetch(`${influx.url}/query`, { method: 'POST', body });
    const { results } = (await response.json()) as {
      results: { series?: { values?: unknown[][] }[] }[];
    };
    return results[0]?.series?.[0]?.values ?? [];
  };
  /** Name and duration of each policy once all are there. */
  const policies = (database: string) =>
    eventually(
      async () => {
        const all = await ask(`SHOW RETENTION POLICIES ON ${database}`);
        const made = all.filter(([name]) => String(name).startsWith('rollup_'));
        return made.length === 3 ? made.map(([name, duration]) => [name, duration]) : undefined;
      },
      'three policies',
      30_000,
    );
  const copyTo = async (
    database: string,
    rollUpsKeptMs: Parameters<typeof createReplica>[0]['rollUpsKeptMs'],
  ) => {
    replica = createReplica({
      url: influx.url,
      database,
      store: store.replica,
      rollUps: store.rollUps.replica,
      tagsOf: () => undefined,
      ...(rollUpsKeptMs === undefined ? {} : { rollUpsKeptMs }),
    });
    replica.start();
    const made = await policies(database);
    await replica.stop();
    return made;
  };

  it('are made with the times that the settings say', async () => {
    await ask('CREATE DATABASE by_settings');
    expect(await copyTo('by_settings', { '10s': 14 * dayMs, '1min': null, '1h': 400 * dayMs })).toEqual([
      ['rollup_10s', '336h0m0s'],
      ['rollup_1min', '0s'],
      ['rollup_1h', '9600h0m0s'],
    ]);
  });

  it('that are there already stay as they are: shorter ones would delete, longer ones are the site’s own choice', async () => {
    await ask('CREATE DATABASE of_the_site');
    await ask('CREATE RETENTION POLICY rollup_10s ON of_the_site DURATION 30d REPLICATION 1');
    expect(await copyTo('of_the_site', { '10s': 14 * dayMs, '1min': null, '1h': 400 * dayMs })).toEqual([
      ['rollup_10s', '720h0m0s'],
      ['rollup_1min', '0s'],
      ['rollup_1h', '9600h0m0s'],
    ]);
    expect(await copyTo('of_the_site', { '10s': 90 * dayMs, '1min': dayMs, '1h': null })).toEqual([
      ['rollup_10s', '720h0m0s'],
      ['rollup_1min', '0s'],
      ['rollup_1h', '9600h0m0s'],
    ]);
  });
});
