import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { seriesStoreContract } from '@edge-margin/series';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { allMigrations } from './migrations/all-migrations.js';
import { openStore } from './open-store.js';
import { StoreError } from './store-error.js';

let directory = '';
let path = '';
beforeEach(() => {
  directory = mkdtempSync(join(tmpdir(), 'edge-margin-store-'));
  path = join(directory, 'store.sqlite');
});
afterEach(() => {
  rmSync(directory, { recursive: true, force: true });
});

seriesStoreContract({ describe, it, expect }, () => {
  const store = openStore(path);
  return { store: store.series, close: store.close };
});

const failureOf = (attempt: () => unknown): StoreError => {
  try {
    attempt();
  } catch (error) {
    if (error instanceof StoreError) return error;
    throw error;
  }
  throw new Error('did not fail');
};
const raw = (work: (database: Database.Database) => void): void => {
  const database = new Database(path);
  work(database);
  database.close();
};
const speed = {
  measurement: 'reading',
  winderId: 'w1',
  stationId: 'a',
  end: 'both',
  field: 'speed',
} as const;
const everything = { fromMs: 0, toMs: 9e15, maxPoints: 10_000 };
const samples = (count: number, field: string = 'speed') =>
  Array.from({ length: count }, (_, index) => ({
    ...speed,
    field,
    atMs: 1_790_000_000_000 + index * 100,
    value: Math.sin(index),
  }));

describe('opening a store', () => {
  it('makes the file, with a write-ahead log, and finds it again', () => {
    const store = openStore(path);
    expect(store.readPosition()).toBe(0);
    store.commitBatch({ position: 5, samples: samples(3) });
    store.close();
    const again = openStore(path);
    expect(again.readPosition()).toBe(5);
    expect(again.series.query({ id: speed, ...everything }).points).toHaveLength(3);
    again.close();
    raw((database) => {
      expect(database.pragma('journal_mode', { simple: true })).toBe('wal');
      expect(database.pragma('auto_vacuum', { simple: true })).toBe(2);
    });
  });

  it('opens a file that version 1 wrote, with everything in it', () => {
    raw((database) =>
      database.exec(readFileSync(new URL('fixtures/store-version-1.sql', import.meta.url), 'utf8')),
    );
    const store = openStore(path);
    expect(store.readPosition()).toBe(4711);
    expect(store.readDecoderState()).toBe('{"clockOffsetMs":-12}');
    expect([...store.readStates()]).toEqual([['w1/a', '{"version":1,"rollCounter":88}']]);
    expect(store.series.query({ id: speed, ...everything }).points).toEqual([
      [1_790_000_000_000, 10.5],
      [1_790_000_000_100, 10.75],
    ]);
    expect(store.series.latest({ ...speed, field: 'grade' })).toEqual([1_790_000_000_000, '1200']);
    expect(store.replica.readCursor('influx')).toBe(2);
    expect(store.replica.samplesAfter(2, 10)).toMatchObject([
      { seq: 3, sample: { ...speed, field: 'grade', atMs: 1_790_000_000_000, value: '1200' } },
    ]);
    expect(store.replica.refused('influx', 10)[0]?.because.text).toBe('field type conflict');
    expect(store.alarms.transitions({ limit: 10 })[0]?.id).toBe('w1.a.air@1790000000000raise');
    expect(store.alarms.open()[0]?.alarmKey).toBe('w1.a.air');
    expect(store.rolls.query({ limit: 10 })[0]?.rollId).toBe('r-88');
    expect(store.notUsed.summary().total).toBe(3);
    expect(store.outbox.pending(10)[0]?.topic).toBe('edge-margin/w1/a/alarm');
    expect(store.gaps.query({ limit: 10 })[0]?.because.code).toBe('session-lost');
    expect(store.commitBatch({ position: 4712, samples: samples(1) })).toEqual({ applied: true });
    store.close();
  });

  it('has not changed the published step 1 since its fixture was written', () => {
    const schemaOf = (sql: string): unknown => {
      const database = new Database(':memory:');
      database.exec(sql);
      const schema = database
        .prepare('SELECT type, name, tbl_name, sql FROM sqlite_schema ORDER BY name')
        .all();
      database.close();
      return schema;
    };
    const fixture = readFileSync(new URL('fixtures/store-version-1.sql', import.meta.url), 'utf8');
    expect(schemaOf(allMigrations[0]!.sql)).toEqual(schemaOf(fixture));
  });

  it('numbers its steps from 1 without holes', () => {
    expect(allMigrations.map(({ version }) => version)).toEqual(allMigrations.map((_, index) => index + 1));
  });

  it('refuses a file of a newer version and leaves it alone', () => {
    openStore(path).close();
    raw((database) => database.pragma('user_version = 999'));
    const before = readFileSync(path);
    const failure = failureOf(() => openStore(path));
    expect(failure.code).toBe('newer-version');
    expect(failure.message).toContain('999');
    expect(readFileSync(path).equals(before)).toBe(true);
  });

  it('refuses a database of somebody else and leaves it alone', () => {
    raw((database) => database.exec('CREATE TABLE theirs (a)'));
    expect(failureOf(() => openStore(path)).code).toBe('corrupt');
    raw((database) =>
      expect(database.prepare('SELECT count(*) AS n FROM sqlite_schema').get()).toEqual({ n: 1 }),
    );
  });

  it('refuses a file that is no database', () => {
    writeFileSync(path, 'winder '.repeat(1000));
    expect(failureOf(() => openStore(path)).code).toBe('corrupt');
  });

  it('says so where the directory is missing', () => {
    expect(failureOf(() => openStore(join(directory, 'missing', 'store.sqlite'))).code).toBe('io');
  });

  it('reads a file that another connection writes, and writes nothing, when opened to read only', () => {
    const store = openStore(path);
    store.commitBatch({ position: 1, samples: samples(2) });
    const reader = openStore(path, { readOnly: true });
    expect(reader.series.query({ id: speed, ...everything }).points).toHaveLength(2);
    expect(failureOf(() => reader.commitBatch({ position: 2, samples: samples(3) })).code).toBe('read-only');
    reader.close();
    store.close();
    expect(failureOf(() => openStore(join(directory, 'none.sqlite'), { readOnly: true })).code).toBe('io');
  });

  it('says that somebody else holds the file', () => {
    const store = openStore(path, { busyTimeoutMs: 0 });
    raw((database) => {
      database.exec('BEGIN IMMEDIATE');
      expect(failureOf(() => store.commitBatch({ position: 1 })).code).toBe('locked');
    });
    expect(store.commitBatch({ position: 1 })).toEqual({ applied: true });
    store.close();
  });

  it('says that the disk is full, keeps nothing of the batch, and goes on when there is space', () => {
    const store = openStore(path, { maxFileBytes: 400_000 });
    store.commitBatch({ position: 1, samples: samples(100), decoderState: 'one' });
    const large = { position: 2, samples: samples(50_000, 'tension'), decoderState: 'two' };
    expect(failureOf(() => store.commitBatch(large)).code).toBe('disk-full');
    expect([store.readPosition(), store.readDecoderState()]).toEqual([1, 'one']);
    expect(store.series.query({ id: { ...speed, field: 'tension' }, ...everything }).points).toEqual([]);
    store.commitBatch({ position: 2, samples: samples(100, 'tension') });
    expect(store.series.query({ id: { ...speed, field: 'tension' }, ...everything }).points).toHaveLength(
      100,
    );
    store.close();
    const roomy = openStore(path);
    expect(roomy.commitBatch({ ...large, position: 3 })).toEqual({ applied: true });
    roomy.close();
  });

  it('says that the file is damaged', () => {
    const store = openStore(path);
    for (let position = 1; position <= 20; position += 1)
      store.commitBatch({ position, samples: samples(1000, `field-${position}`) });
    store.close();
    const bytes = readFileSync(path);
    bytes.fill(0x5a, 4096 * 60); // beyond the pages of the schema
    writeFileSync(path, bytes);
    const codes = new Set<string>();
    const damaged = openStore(path);
    for (let field = 1; field <= 20; field += 1) {
      try {
        damaged.series.query({ id: { ...speed, field: `field-${field}` }, ...everything });
      } catch (error) {
        codes.add(error instanceof StoreError ? error.code : String(error));
      }
    }
    damaged.close();
    expect([...codes]).toEqual(['corrupt']);
  });
});
