import type { SeriesSample } from '@edge-margin/series';
import { type Clock, systemClock } from '@edge-margin/store-influx';
import { openStore, type Store } from '@edge-margin/store-sqlite';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect } from 'vitest';

/** The series that the tests of the long memory write and read: a speed. */
export const speed = {
  measurement: 'reading',
  winderId: 'w1',
  stationId: 'a',
  end: 'both',
  field: 'speed',
} as const satisfies Omit<SeriesSample, 'atMs' | 'value'>;

/** Where its winder stands; a blank in a tag has to be escaped on the way. */
export const tagsOf = () => ({ site: 'north mill', area: 'finishing', line: 'line-1' });

/** A store with a folder of its own. */
export interface StoreFolder {
  readonly store: Store;
  /** Closes it and opens it again, as a restart of the service does. */
  readonly reopen: () => void;
  readonly dispose: () => void;
}

/** Opens an empty one. */
export function openStoreFolder(): StoreFolder {
  const directory = mkdtempSync(join(tmpdir(), 'edge-margin-series-'));
  const path = join(directory, 'store.sqlite');
  let store = openStore(path);
  return {
    get store() {
      return store;
    },
    reopen: () => {
      store.close();
      store = openStore(path);
    },
    dispose: () => {
      store.close();
      rmSync(directory, { recursive: true, force: true });
    },
  };
}

/** The real clock with waits cut to a hundredth, so that back-off is seen without waiting for it; every wait asked for is noted. */
export const hurriedClock = (waits: number[] = []): Clock => ({
  ...systemClock,
  sleep: (durationMs, signal) => {
    waits.push(durationMs);
    return systemClock.sleep(durationMs / 100, signal);
  },
});

/** Sends one statement of InfluxQL, written in the test, to the server, as `name:password` where it asks for one; the rows of the answer. */
export async function askInflux(url: string, statement: string, account?: string): Promise<unknown> {
  const headers =
    account === undefined ? {} : { authorization: `Basic ${Buffer.from(account).toString('base64')}` };
  const answer = await fetch(`${url}/query?epoch=ms`, {
    method: 'POST',
    body: new URLSearchParams({ q: statement }),
    headers,
  });
  const body = (await answer.json()) as {
    results?: { error?: string; series?: { values: unknown[][] }[] }[];
    error?: string;
  };
  expect(body.error ?? body.results?.[0]?.error).toBeUndefined();
  return body.results?.[0]?.series?.[0]?.values;
}
