import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { allMigrations } from './migrations/all-migrations.js';
import { openStore } from './open-store.js';
import { StoreError } from './store-error.js';

let directory = '';
let path = '';
beforeEach(() => {
  directory = mkdtempSync(join(tmpdir(), 'edge-margin-upgrade-'));
  path = join(directory, 'store.sqlite');
});
afterEach(() => {
  rmSync(directory, { recursive: true, force: true });
});

const newest = allMigrations.length;
const copy = (version: number): string => `${path}.before-v${version}`;
const layVersion1 = (): void => {
  const database = new Database(path);
  database.exec(readFileSync(new URL('fixtures/store-version-1.sql', import.meta.url), 'utf8'));
  database.close();
};
const versionOf = (file: string): unknown => {
  const database = new Database(file, { readonly: true });
  const version = database.pragma('user_version', { simple: true });
  database.close();
  return version;
};
const failureOf = (attempt: () => unknown): StoreError => {
  try {
    attempt();
  } catch (error) {
    if (error instanceof StoreError) return error;
    throw error;
  }
  throw new Error('did not fail');
};

describe('an upgrade of the store', () => {
  it('leaves a copy of the version before, which the older program can use', () => {
    expect(newest).toBeGreaterThan(1);
    layVersion1();
    openStore(path).close();
    expect(versionOf(path)).toBe(newest);
    expect(versionOf(copy(newest))).toBe(1);
    const before = new Database(copy(newest), { readonly: true });
    expect(before.prepare('SELECT position FROM progress').pluck().get()).toBe(4711);
    expect(before.prepare('SELECT count(*) FROM sample').pluck().get()).toBe(3);
    expect(before.pragma('integrity_check', { simple: true })).toBe('ok');
    expect(before.pragma('application_id', { simple: true })).toBe(0x45444d47);
    before.close();
  });

  it('can be taken back by putting the copy in its place, and done again', () => {
    layVersion1();
    openStore(path).close();
    renameSync(copy(newest), path);
    expect(versionOf(path)).toBe(1);
    const again = openStore(path);
    expect(again.readPosition()).toBe(4711);
    again.close();
    expect(versionOf(copy(newest))).toBe(1);
  });

  it('leaves no copy of a new store, nor where nothing is to be done', () => {
    openStore(path).close();
    openStore(path).close();
    expect(readdirSync(directory).filter((name) => name.includes('before'))).toEqual([]);
  });

  it('keeps the copy of the last upgrade only', () => {
    layVersion1();
    writeFileSync(copy(1), 'of an earlier upgrade');
    writeFileSync(`${path}.before-vacation`, 'of somebody else');
    openStore(path).close();
    expect(existsSync(copy(1))).toBe(false);
    expect(existsSync(copy(newest))).toBe(true);
    expect(existsSync(`${path}.before-vacation`)).toBe(true);
  });

  it('is not begun where no copy can be kept', () => {
    layVersion1();
    // A folder in its place stands for every reason for which the copy cannot be written.
    mkdirSync(copy(newest));
    const { code, message } = failureOf(() => openStore(path));
    expect(code).toBe('io');
    expect(message).toMatch(/was not brought to version \d+, because no copy could be kept/);
    expect(versionOf(path)).toBe(1);
    expect(readdirSync(directory).filter((name) => name.includes('unfinished'))).toEqual([]);
  });

  it('makes an older program name both versions and the copy, in one line', () => {
    layVersion1();
    openStore(path).close();
    const database = new Database(path);
    database.pragma(`user_version = ${newest + 1}`);
    database.close();
    const { code, message } = failureOf(() => openStore(path));
    expect(code).toBe('newer-version');
    expect(message).toContain(`version ${newest + 1} is newer than version ${newest}`);
    expect(message).toContain(copy(newest));
    expect(message).not.toContain('\n');
  });
});
