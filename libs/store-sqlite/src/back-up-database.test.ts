import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { backUpDatabase, requireSound } from './back-up-database.js';
import { describeStore } from './describe-store.js';
import { allMigrations } from './migrations/all-migrations.js';
import { openStore } from './open-store.js';
import { StoreError } from './store-error.js';

let directory = '';
let path = '';
let copy = '';
beforeEach(() => {
  directory = mkdtempSync(join(tmpdir(), 'edge-margin-backup-'));
  path = join(directory, 'store.sqlite');
  copy = join(directory, 'copy.sqlite');
});
afterEach(() => {
  rmSync(directory, { recursive: true, force: true });
});

const samplesOf = (batch: number, count: number) =>
  Array.from({ length: count }, (_, index) => ({
    measurement: 'reading' as const,
    winderId: 'w1',
    stationId: 'a',
    end: 'both' as const,
    field: 'speed',
    atMs: batch * 1000 + index,
    value: index,
  }));

describe('backing up a database', () => {
  it('takes the moment at which it was asked, whatever is written meanwhile and is still in the log', async () => {
    const store = openStore(path);
    for (let position = 1; position <= 50; position += 1)
      store.commitBatch({ position, samples: samplesOf(position, 500) });
    const taking = backUpDatabase(path, copy);
    for (let position = 51; position <= 100; position += 1) {
      store.commitBatch({ position, samples: samplesOf(position, 500) });
      await new Promise((resolve) => setImmediate(resolve));
    }
    await taking;
    store.close();
    const { version, position } = describeStore(copy);
    expect(version).toBe(allMigrations.length);
    expect(position).toBeGreaterThanOrEqual(50);
    const copied = openStore(copy);
    const id = {
      measurement: 'reading',
      winderId: 'w1',
      stationId: 'a',
      end: 'both',
      field: 'speed',
    } as const;
    const { points } = copied.series.query({ id, fromMs: 0, toMs: 1e9, maxPoints: 100_000 });
    expect(points).toHaveLength(position * 500);
    copied.close();
  });

  it('gives one file that can be looked at without leaving others beside it', async () => {
    const store = openStore(path);
    store.commitBatch({ position: 7, samples: samplesOf(1, 10) });
    await backUpDatabase(path, copy);
    requireSound(copy);
    expect(describeStore(copy).position).toBe(7);
    expect(readdirSync(directory).filter((name) => name.startsWith('copy'))).toEqual(['copy.sqlite']);
    store.close();
  });

  it('refuses what is no database or is damaged, and leaves no copy', async () => {
    writeFileSync(path, 'winder '.repeat(1000));
    await expect(backUpDatabase(path, copy)).rejects.toMatchObject({ code: 'corrupt' });
    await expect(backUpDatabase(join(directory, 'none'), copy)).rejects.toBeInstanceOf(StoreError);
    rmSync(path);
    const store = openStore(path);
    for (let position = 1; position <= 20; position += 1)
      store.commitBatch({ position, samples: samplesOf(position, 1000) });
    store.close();
    const bytes = readFileSync(path);
    bytes.fill(0x5a, 4096 * 30, 4096 * 60);
    writeFileSync(path, bytes);
    await expect(backUpDatabase(path, copy)).rejects.toMatchObject({ code: 'corrupt' });
    expect(existsSync(copy)).toBe(false);
  });
});
