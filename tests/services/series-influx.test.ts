import { type SeriesSample, seriesStoreContract } from '@edge-margin/series';
import {
  type Clock,
  createInfluxSeriesStore,
  createReplica,
  type InfluxServer,
  type Replica,
} from '@edge-margin/store-influx';
import type { Store } from '@edge-margin/store-sqlite';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { eventually } from './support/eventually.js';
import { type Influx, startInflux } from './support/influx.js';
import {
  askInflux,
  hurriedClock,
  openStoreFolder,
  speed,
  type StoreFolder,
  tagsOf,
} from './support/long-memory.js';

const startMs = 1_790_000_000_000;
const speedAt = (index: number, value: number | string = index): SeriesSample => ({
  ...speed,
  atMs: startMs + index * 10,
  value,
});
const everything = { fromMs: 0, toMs: 4e12, maxPoints: 1_000_000 };

let databases = 0;
const freshDatabase = (): string => `series_${(databases += 1)}`;

/** Waits until the condition holds; fails with what was last seen. */
const until = (condition: () => boolean, seen: () => unknown): Promise<true> =>
  eventually(
    () => {
      if (condition()) return true;
      throw new Error(JSON.stringify(seen()));
    },
    'what was waited for',
    60_000,
  );

describe('series in a real InfluxDB', () => {
  let influx: Influx;
  let folder: StoreFolder;
  let store: Store;
  let replica: Replica | undefined;
  beforeAll(async () => {
    influx = await startInflux();
  });
  afterAll(async () => {
    await influx.dispose();
  });
  beforeEach(() => {
    folder = openStoreFolder();
    store = folder.store;
  });
  afterEach(async () => {
    await replica?.stop();
    replica = undefined;
    folder.dispose();
  });

  const start = (
    server: Partial<InfluxServer> & { database: string },
    more: { clock?: Clock; batchRows?: number; createDatabase?: boolean } = {},
  ): Replica => {
    replica = createReplica({
      url: influx.url,
      store: store.replica,
      tagsOf,
      idleMs: 20,
      ...server,
      ...more,
    });
    replica.start();
    return replica;
  };
  const caughtUp = (): Promise<true> =>
    until(
      () => replica?.status().behindRows === 0 && replica.status().state === 'up',
      () => replica?.status(),
    );
  const stored = async (database: string, id: typeof speed | { readonly field: string } = speed) =>
    (
      await createInfluxSeriesStore({ url: influx.url, database, tagsOf }).query({
        id: { ...speed, ...id },
        ...everything,
      })
    ).points;

  seriesStoreContract({ describe, it, expect }, async () => {
    const database = freshDatabase();
    await askInflux(influx.url, `CREATE DATABASE ${database}`);
    return {
      store: createInfluxSeriesStore({ url: influx.url, database, tagsOf }),
      close: () => void askInflux(influx.url, `DROP DATABASE ${database}`),
    };
  });

  describe('the replica', () => {
    it('makes the database and brings every row to it, under the tags of the plant', async () => {
      const database = freshDatabase();
      start({ database });
      store.series.write(Array.from({ length: 1000 }, (_, index) => speedAt(index)));
      store.series.write([{ ...speed, field: 'grade', end: 'drive', atMs: startMs, value: 'film "12" µm' }]);
      await caughtUp();
      expect(replica?.status()).toMatchObject({ state: 'up', behindRows: 0, lastError: null });
      expect(await stored(database)).toEqual(
        Array.from({ length: 1000 }, (_, index) => [startMs + index * 10, index]),
      );
      expect(await askInflux(influx.url, `SHOW SERIES ON ${database}`)).toEqual([
        ['reading,area=finishing,end=both,line=line-1,site=north\\ mill,station=a,winder=w1'],
        ['reading,area=finishing,end=drive,line=line-1,site=north\\ mill,station=a,winder=w1'],
      ]);
    });

    it('brings the last value of a sample that is written again', async () => {
      const database = freshDatabase();
      start({ database });
      store.series.write([speedAt(0, 1), speedAt(1, 1)]);
      await caughtUp();
      store.series.write([speedAt(1, 2), speedAt(0, 2), speedAt(0, 3)]);
      await caughtUp();
      expect(await stored(database)).toEqual([
        [startMs, 3],
        [startMs + 10, 2],
      ]);
    });

    it('loses no row and doubles none while the server goes away and comes back under load', async () => {
      const database = freshDatabase();
      const waits: number[] = [];
      start({ database }, { clock: hurriedClock(waits), batchRows: 200 });
      let written = 0;
      const writing = setInterval(() => {
        store.series.write(Array.from({ length: 100 }, (_, index) => speedAt(written + index)));
        written += 100;
      }, 5);
      const sawDown: (string | undefined)[] = [];
      for (let round = 0; round < 3; round += 1) {
        await until(
          () => written > (round + 1) * 5000,
          () => written,
        );
        await influx.stop();
        await until(
          () => replica?.status().state === 'down',
          () => replica?.status(),
        );
        sawDown.push(replica?.status().lastError?.code);
        await influx.start();
        await until(
          () => replica?.status().state === 'up',
          () => replica?.status(),
        );
      }
      clearInterval(writing);
      await caughtUp();
      // While it shuts down the server may still answer: 500, `write failed`.
      expect(
        sawDown.filter((code) => code === 'replica-unreachable' || code === 'replica-busy'),
      ).toHaveLength(3);
      expect(Math.max(...waits)).toBeGreaterThanOrEqual(1000);
      const points = await stored(database);
      expect(points).toHaveLength(written);
      expect(points.every(([atMs, value], index) => atMs === startMs + index * 10 && value === index)).toBe(
        true,
      );
    });

    it('goes on where it was after a restart of the service', async () => {
      const database = freshDatabase();
      start({ database });
      store.series.write([speedAt(0)]);
      await caughtUp();
      await replica?.stop();
      store.series.write([speedAt(1)]);
      folder.reopen();
      store = folder.store;
      start({ database });
      await caughtUp();
      expect(await stored(database)).toHaveLength(2);
    });

    it('writes what is waiting when it is stopped', async () => {
      const database = freshDatabase();
      start({ database }, { batchRows: 50 });
      await caughtUp();
      store.series.write(Array.from({ length: 1000 }, (_, index) => speedAt(index)));
      await replica?.stop();
      expect(replica?.status().behindRows).toBe(0);
      expect(await stored(database)).toHaveLength(1000);
    });

    it('sets aside what the server refuses, with the reason, and brings the rest', async () => {
      const database = freshDatabase();
      start({ database });
      store.series.write([speedAt(0, 1)]);
      await caughtUp();
      const tension = (index: number): SeriesSample => ({ ...speedAt(index), field: 'tension' });
      const mixed = Array.from({ length: 400 }, (_, index) => [
        speedAt(index + 1, index % 7 === 0 ? 'text' : index),
        tension(index + 1),
      ]).flat();
      store.series.write([
        ...mixed,
        { ...speedAt(5), field: 'winder' },
        { ...speedAt(6), field: 'long', value: 'x'.repeat(70_000) },
      ]);
      await caughtUp();
      const refused = store.replica.refused('influx', 1000);
      const codes = new Map<string, number>();
      for (const { because } of refused) codes.set(because.code, (codes.get(because.code) ?? 0) + 1);
      expect([...codes].sort()).toEqual([
        ['replica-field-reserved', 1],
        ['replica-refused', 58],
        ['replica-text-too-long', 1],
      ]);
      expect(refused.find(({ because }) => because.code === 'replica-refused')?.because.text).toContain(
        'field type conflict',
      );
      expect(
        refused
          .filter(({ because }) => because.code === 'replica-refused')
          .every(({ sample }) => sample.value === 'text'),
      ).toBe(true);
      expect(await stored(database)).toHaveLength(1 + 400 - 58);
      expect(await stored(database, { field: 'tension' })).toHaveLength(400);
    });

    it('sets aside rows that are older than the retention policy, without parting them one by one', async () => {
      const database = freshDatabase();
      await askInflux(influx.url, `CREATE DATABASE ${database} WITH DURATION 1h NAME short`);
      const nowMs = Date.now();
      const recent = (index: number, field: string): SeriesSample => ({
        ...speed,
        field,
        atMs: nowMs - index,
        value: index,
      });
      const old = Array.from({ length: 2000 }, (_, index) => [
        speedAt(index),
        { ...speedAt(index), field: 'tension' },
      ]).flat();
      store.replica.addReplica('influx');
      store.series.write([
        recent(1, 'speed'),
        ...old.map((row) => ({ ...row, atMs: row.atMs - 1e12 })),
        recent(2, 'speed'),
        recent(2, 'tension'),
      ]);
      const startedAtMs = Date.now();
      start({ database });
      await caughtUp();
      expect(Date.now() - startedAtMs).toBeLessThan(10_000);
      expect(store.replica.refused('influx', 5000)).toHaveLength(1000); // the newest thousand are kept
      expect(store.replica.refused('influx', 1)[0]?.because.text).toContain('retention policy');
      expect(await stored(database)).toHaveLength(2);
    });

    it('waits for the retention policy that it was told to write to', async () => {
      const database = freshDatabase();
      await askInflux(influx.url, `CREATE DATABASE ${database}`);
      start({ database, retentionPolicy: 'raw' }, { clock: hurriedClock() });
      store.series.write([speedAt(0)]);
      await until(
        () => replica?.status().lastError?.code === 'replica-retention-policy-missing',
        () => replica?.status(),
      );
      await askInflux(influx.url, `CREATE RETENTION POLICY raw ON ${database} DURATION INF REPLICATION 1`);
      await caughtUp();
      const reader = createInfluxSeriesStore({ url: influx.url, database, retentionPolicy: 'raw', tagsOf });
      expect(await reader.latest(speed)).toEqual([startMs, 0]);
    });

    it('waits for a database that it may not make', async () => {
      const database = freshDatabase();
      start({ database }, { clock: hurriedClock(), createDatabase: false });
      store.series.write([speedAt(0)]);
      await until(
        () => replica?.status().lastError?.code === 'replica-database-missing',
        () => replica?.status(),
      );
      expect(replica?.status()).toMatchObject({ state: 'down', behindRows: 1 });
      const reader = createInfluxSeriesStore({ url: influx.url, database, tagsOf });
      await expect(reader.query({ id: speed, ...everything })).rejects.toMatchObject({
        name: 'InfluxError',
        code: 'misconfigured',
      });
      await expect(reader.write([speedAt(0)])).rejects.toMatchObject({
        name: 'InfluxError',
        code: 'misconfigured',
      });
      await askInflux(influx.url, `CREATE DATABASE ${database}`);
      await caughtUp();
      expect(await stored(database)).toHaveLength(1);
    });

    it('makes the database again when somebody drops it', async () => {
      const database = freshDatabase();
      start({ database }, { clock: hurriedClock() });
      await caughtUp();
      await askInflux(influx.url, `DROP DATABASE ${database}`);
      store.series.write([speedAt(0)]);
      await caughtUp();
      expect(await stored(database)).toHaveLength(1);
    });
  });

  it('does not take the server for lost after one failed question', async () => {
    const database = freshDatabase();
    await askInflux(influx.url, `CREATE DATABASE ${database}`);
    const reader = createInfluxSeriesStore({ url: influx.url, database, tagsOf });
    await reader.write([speedAt(0)]);
    await influx.stop();
    await expect(reader.query({ id: speed, ...everything })).rejects.toMatchObject({ code: 'unreachable' });
    await expect(reader.write([speedAt(1)])).rejects.toMatchObject({ code: 'unreachable' });
    await influx.start();
    expect((await reader.query({ id: speed, ...everything })).points).toEqual([[startMs, 0]]);
  });

  it('lets no id reach beyond its own series', async () => {
    const database = freshDatabase();
    await askInflux(influx.url, `CREATE DATABASE ${database}`);
    const reader = createInfluxSeriesStore({ url: influx.url, database, tagsOf });
    await reader.write([speedAt(0)]);
    for (const evil of ["w1' OR '1'='1", 'w1" OR "x"="x', "w1\\' OR 1=1 --", "'; DROP DATABASE x --"]) {
      for (const id of [
        { ...speed, winderId: evil },
        { ...speed, stationId: evil },
        { ...speed, field: evil },
      ]) {
        expect((await reader.query({ id, ...everything })).points).toEqual([]);
      }
    }
    await expect(
      reader.query({ id: { ...speed, field: 'speed") FROM "reading" --' }, ...everything }),
    ).resolves.toEqual({ points: [], thinned: false });
    expect(await stored(database)).toHaveLength(1);
  });
});

describe('a real InfluxDB that asks for passwords', () => {
  let influx: Influx;
  let folder: StoreFolder;
  let store: Store;
  const database = 'protected';
  beforeAll(async () => {
    influx = await startInflux({ authentication: true });
    await askInflux(influx.url, "CREATE USER keeper WITH PASSWORD 'invented-1' WITH ALL PRIVILEGES");
    await askInflux(influx.url, "CREATE USER writer WITH PASSWORD 'invented:2 \"x'", 'keeper:invented-1');
    folder = openStoreFolder();
    store = folder.store;
  });
  afterAll(async () => {
    folder.dispose();
    await influx.dispose();
  });

  it('tells a wrong password from an outage, loses nothing meanwhile, and does not show the password', async () => {
    const waits: number[] = [];
    const wrong = createReplica({
      url: influx.url,
      database,
      username: 'writer',
      password: 'not-it',
      store: store.replica,
      tagsOf,
      clock: hurriedClock(waits),
    });
    wrong.start();
    store.series.write([speedAt(0)]);
    await until(
      () => waits.length >= 3,
      () => wrong.status(),
    );
    expect(wrong.status()).toMatchObject({
      state: 'down',
      behindRows: 1,
      lastError: { code: 'replica-not-authorized' },
    });
    expect(JSON.stringify(wrong.status())).not.toContain('not-it');
    expect(new Set(waits)).toEqual(new Set([60_000]));
    await wrong.stop();

    // A user without rights on the database is refused too, and may not make it.
    const account = { url: influx.url, database, username: 'writer', password: 'invented:2 "x' };
    const right = createReplica({ ...account, store: store.replica, tagsOf, clock: hurriedClock() });
    right.start();
    await until(
      () => right.status().lastError !== null,
      () => right.status(),
    );
    expect(right.status().lastError?.code).toMatch(/replica-(not-authorized|database-missing)/);
    await askInflux(influx.url, `CREATE DATABASE ${database}`, 'keeper:invented-1');
    await askInflux(influx.url, `GRANT ALL ON ${database} TO writer`, 'keeper:invented-1');
    await until(
      () => right.status().behindRows === 0,
      () => right.status(),
    );
    await right.stop();

    const reader = createInfluxSeriesStore({ ...account, tagsOf });
    expect(await reader.latest(speed)).toEqual([startMs, 0]);
    const stranger = createInfluxSeriesStore({ url: influx.url, database, tagsOf });
    await expect(stranger.latest(speed)).rejects.toMatchObject({ code: 'misconfigured' });
    await expect(stranger.write([speedAt(1)])).rejects.toMatchObject({ code: 'misconfigured' });
  });

  it('makes the database where the account may', async () => {
    const account = { url: influx.url, database: 'made', username: 'keeper', password: 'invented-1' };
    store.replica.addReplica('second');
    const replica = createReplica({ ...account, name: 'second', store: store.replica, tagsOf, idleMs: 20 });
    replica.start();
    store.series.write([speedAt(7)]);
    await until(
      () => replica.status().behindRows === 0,
      () => replica.status(),
    );
    await replica.stop();
    expect(await createInfluxSeriesStore({ ...account, tagsOf }).latest(speed)).toEqual([startMs + 70, 7]);
  });
});
