import { rolledResolutions, type SeriesSample, type WindowSummary } from '@edge-margin/series';
import {
  createInfluxRollUpReader,
  createInfluxSeriesStore,
  createReplica,
  type InfluxServer,
  type Replica,
} from '@edge-margin/store-influx';
import type { Store } from '@edge-margin/store-sqlite';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { createRemoteMemory } from '../../apps/monitor/src/records/remote-memory.js';
import { createTrendReader } from '../../apps/monitor/src/records/trend-reader.js';
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

const hourMs = 3_600_000;
/** Within what every retention policy keeps. */
const startMs = Math.floor(Date.now() / hourMs) * hourMs - 6 * hourMs;
const everything = { fromMs: startMs - hourMs, toMs: startMs + 6 * hourMs };

let folder: StoreFolder;
let store: Store;
let replica: Replica | undefined;
beforeEach(() => {
  folder = openStoreFolder();
  store = folder.store;
});
afterEach(async () => {
  await replica?.stop();
  replica = undefined;
  folder.dispose();
});

const write = (count: number, stepMs = 1000): void =>
  store.series.write(
    Array.from({ length: count }, (_, index): SeriesSample => ({
      ...speed,
      atMs: startMs + index * stepMs,
      value: index === 4321 ? 1000 : Math.sin(index / 100) * 10,
    })),
  );
const rollUpAll = (): void => {
  while (!store.rollUps.rollUpDue(startMs + 100 * hourMs, 500).done);
};
const start = (server: InfluxServer): Replica => {
  replica = createReplica({
    ...server,
    store: store.replica,
    rollUps: store.rollUps.replica,
    tagsOf,
    idleMs: 1000,
    clock: hurriedClock(),
  });
  replica.start();
  return replica;
};
const caughtUp = (): Promise<unknown> =>
  eventually(
    () => {
      const status = replica?.status();
      if (status?.behindRows === 0 && status.rollUps.behindRows === 0) return true;
      throw new Error(JSON.stringify(status));
    },
    'rows and roll-ups copied',
    60_000,
  );
const here = (): readonly (readonly WindowSummary[])[] =>
  rolledResolutions.map((resolution) =>
    store.rollUps.windows(speed, resolution, everything.fromMs, everything.toMs),
  );
const there = (server: InfluxServer) => {
  const read = createInfluxRollUpReader(server);
  return Promise.all(rolledResolutions.map((resolution) => read(speed, resolution, everything)));
};

describe('roll-ups in a real InfluxDB', () => {
  let influx: Influx;
  let databases = 0;
  let server: InfluxServer;
  beforeAll(async () => {
    influx = await startInflux();
  });
  afterAll(() => influx.dispose());
  beforeEach(() => {
    server = { url: influx.url, database: `rolled_${(databases += 1)}` };
  });

  it('are those made here, under retention policies of their own that the service has made', async () => {
    start(server);
    write(7200);
    store.series.write([{ ...speed, field: 'grade', atMs: startMs, value: 'film "12"' }]);
    rollUpAll();
    await caughtUp();
    expect(await there(server)).toEqual(here());
    const grade = await createInfluxRollUpReader(server)({ ...speed, field: 'grade' }, '1h', everything);
    expect(grade).toEqual([{ startMs, count: 1, last: [startMs, 'film "12"'], numbers: null }]);
    expect(await askInflux(influx.url, `SHOW RETENTION POLICIES ON ${server.database}`)).toEqual(
      expect.arrayContaining([
        ['rollup_10s', '2160h0m0s', '24h0m0s', 1, false],
        ['rollup_1min', '17520h0m0s', '168h0m0s', 1, false],
        ['rollup_1h', '0s', '168h0m0s', 1, false],
      ]),
    );
  });

  it('have their retention policies before the first of them, so that whoever reads finds nothing instead of a failure', async () => {
    await askInflux(influx.url, `CREATE DATABASE ${server.database}`);
    start(server);
    await eventually(
      async () => {
        const policies = (await askInflux(
          influx.url,
          `SHOW RETENTION POLICIES ON ${server.database}`,
        )) as string[][];
        return policies.length === 4 ? true : undefined;
      },
      'the retention policies',
      30_000,
    );
    const read = createTrendReader(store, createRemoteMemory({ server, deadlineMs: 10_000, now: Date.now }));
    const days = { id: speed, fromMs: startMs - 20 * 24 * hourMs, toMs: startMs, maxPoints: 100 };
    expect(await read(days)).toMatchObject({ points: [], source: 'none', partial: null });
  });

  it('are put right by late data', async () => {
    start(server);
    write(600);
    rollUpAll();
    await caughtUp();
    store.series.write([{ ...speed, atMs: startMs + 65_432, value: -500 }]);
    rollUpAll();
    await caughtUp();
    const found = await there(server);
    expect(found).toEqual(here());
    for (const windows of found)
      expect(Math.min(...windows.map(({ numbers }) => Number(numbers?.low[1])))).toBe(-500);
  });

  it('give the trend that this machine no longer keeps, as it was, joined to what is here', async () => {
    start(server);
    write(5 * 3600);
    rollUpAll();
    await caughtUp();
    const now = Date.now;
    const read = createTrendReader(store, createRemoteMemory({ server, deadlineMs: 10_000, now }));
    const long = { id: speed, fromMs: startMs, toMs: startMs + 5 * hourMs, maxPoints: 500 };
    const short = { id: speed, fromMs: startMs + 4300_000, toMs: startMs + 4400_000, maxPoints: 500 };
    const [longBefore, shortBefore] = [await read(long), await read(short)];
    expect([longBefore.source, longBefore.resolution, shortBefore.resolution]).toEqual([
      'local',
      '10s',
      'raw',
    ]);
    while (!store.retention.dropSamplesBefore(startMs + 4 * hourMs, 5000).done);
    while (!store.rollUps.dropBefore('10s', startMs + 3 * hourMs, 5000).done);
    expect(await read(long)).toEqual({ ...longBefore, source: 'both' });
    expect(await read(short)).toEqual({ ...shortBefore, source: 'remote' });
    expect((await read(short)).points).toContainEqual([startMs + 4_321_000, 1000]);
  });

  it('do without an answer in time: what is here is shown, partial, with the reason', async () => {
    start(server);
    write(3 * 3600);
    rollUpAll();
    await caughtUp();
    while (!store.retention.dropSamplesBefore(startMs + 2 * hourMs, 5000).done);
    await influx.stop();
    const read = createTrendReader(store, createRemoteMemory({ server, deadlineMs: 500, now: Date.now }));
    const short = { id: speed, fromMs: startMs + 4300_000, toMs: startMs + 4400_000, maxPoints: 500 };
    const beganAtMs = performance.now();
    const trend = await read(short);
    expect(performance.now() - beganAtMs).toBeLessThan(5000);
    expect(trend).toMatchObject({
      resolution: '10s',
      source: 'local',
      partial: { code: 'long-memory-silent' },
    });
    expect(trend.points).toContainEqual([startMs + 4_321_000, 1000]);
    await influx.start();
  });
});

describe('a real InfluxDB with an account that only writes and one that only reads', () => {
  let influx: Influx;
  const keeper = 'keeper:invented-1';
  const writer = { username: 'writer', password: 'invented-2' };
  const reader = { username: 'reader', password: 'invented-3' };
  const database = 'protected';
  beforeAll(async () => {
    influx = await startInflux({ authentication: true });
    await askInflux(influx.url, "CREATE USER keeper WITH PASSWORD 'invented-1' WITH ALL PRIVILEGES");
    await askInflux(influx.url, `CREATE DATABASE ${database}`, keeper);
    for (const [{ username, password }, right] of [
      [writer, 'WRITE'],
      [reader, 'READ'],
    ] as const) {
      await askInflux(influx.url, `CREATE USER ${username} WITH PASSWORD '${password}'`, keeper);
      await askInflux(influx.url, `GRANT ${right} ON ${database} TO ${username}`, keeper);
    }
  });
  afterAll(() => influx.dispose());

  it('takes the rows, says plainly which retention policy is missing, and takes the roll-ups when it is there', async () => {
    start({ url: influx.url, database, ...writer });
    write(7200);
    rollUpAll();
    await eventually(
      () =>
        replica?.status().behindRows === 0 && replica.status().rollUps.lastError !== null ? true : undefined,
      'rows copied, roll-ups refused',
      60_000,
    );
    const status = replica?.status();
    expect(status).toMatchObject({
      state: 'up',
      trouble: 'none',
      rollUps: { state: 'down', trouble: 'misconfigured' },
    });
    expect(status?.rollUps.lastError?.text).toContain(
      'CREATE RETENTION POLICY "rollup_10s" ON "protected" DURATION 90d REPLICATION 1',
    );
    for (const [name, duration] of [
      ['rollup_10s', '90d'],
      ['rollup_1min', '730d'],
      ['rollup_1h', 'INF'],
    ] as const)
      await askInflux(
        influx.url,
        `CREATE RETENTION POLICY "${name}" ON "${database}" DURATION ${duration} REPLICATION 1`,
        keeper,
      );
    await caughtUp();
    expect(await there({ url: influx.url, database, ...reader })).toEqual(here());
  });

  it('answers the reader and not the writer, and takes nothing from the reader', async () => {
    start({ url: influx.url, database, ...writer });
    write(7200);
    rollUpAll();
    await caughtUp();
    while (!store.retention.dropSamplesBefore(startMs + 1.5 * hourMs, 5000).done);
    const short = { id: speed, fromMs: startMs + 4300_000, toMs: startMs + 4400_000, maxPoints: 500 };
    const trendAs = (account: typeof reader) => {
      const server = { url: influx.url, database, ...account };
      return createTrendReader(
        store,
        createRemoteMemory({ server, deadlineMs: 10_000, now: Date.now }),
      )(short);
    };
    expect(await trendAs(reader)).toMatchObject({ source: 'remote', resolution: 'raw', partial: null });
    const asWriter = await trendAs(writer);
    expect(asWriter).toMatchObject({
      source: 'local',
      resolution: '10s',
      partial: { code: 'long-memory-silent' },
    });
    expect(asWriter.partial?.text).toContain('not authorized');
    const readerStore = createInfluxSeriesStore({ url: influx.url, database, ...reader, tagsOf });
    await expect(readerStore.write([{ ...speed, atMs: startMs, value: 1 }])).rejects.toMatchObject({
      code: 'misconfigured',
    });
  });
});
