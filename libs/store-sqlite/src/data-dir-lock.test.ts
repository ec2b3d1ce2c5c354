import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { DataDirLockedError, lockDataDir } from './data-dir-lock.js';
import { StoreError } from './store-error.js';

let directory = '';
beforeEach(() => {
  directory = mkdtempSync(join(tmpdir(), 'edge-margin-lock-'));
});
afterEach(() => {
  rmSync(directory, { recursive: true, force: true });
});
const failureOf = (attempt: () => unknown): unknown => {
  try {
    attempt();
  } catch (error) {
    return error;
  }
  return undefined;
};

// What a second process and a killed one see: tests/services/series-sqlite-crash.test.ts.
describe('the lock of a data directory', () => {
  it('makes the directory and holds it against everybody until it is released', () => {
    const dir = join(directory, 'data', 'service');
    const lock = lockDataDir(dir);
    const failure = failureOf(() => lockDataDir(dir));
    expect(failure).toBeInstanceOf(DataDirLockedError);
    expect(failure).toMatchObject({ code: 'data-dir-locked', dir, holderPid: process.pid });
    expect(String(failure)).toContain(`process ${process.pid}`);
    lock.release();
    lock.release();
    lockDataDir(dir).release();
  });

  it('holds still after a refused attempt', () => {
    const lock = lockDataDir(directory);
    failureOf(() => lockDataDir(directory));
    expect(failureOf(() => lockDataDir(directory))).toBeInstanceOf(DataDirLockedError);
    lock.release();
  });

  it('names nobody where the holder left no readable number', () => {
    const lock = lockDataDir(directory);
    writeFileSync(join(directory, 'lock.pid'), 'torn');
    expect(failureOf(() => lockDataDir(directory))).toMatchObject({ holderPid: null });
    rmSync(join(directory, 'lock.pid'));
    expect(failureOf(() => lockDataDir(directory))).toMatchObject({ holderPid: null });
    lock.release();
  });

  it('is not held up by what a process that ended left behind', () => {
    writeFileSync(join(directory, 'lock.pid'), '999999\n');
    writeFileSync(join(directory, 'lock.sqlite'), '');
    lockDataDir(directory).release();
  });

  it('holds directories apart', () => {
    const one = lockDataDir(join(directory, 'one'));
    lockDataDir(join(directory, 'two')).release();
    one.release();
  });

  it('says so where the directory cannot be made', () => {
    writeFileSync(join(directory, 'file'), '');
    const failure = failureOf(() => lockDataDir(join(directory, 'file', 'data')));
    expect(failure).toBeInstanceOf(StoreError);
    expect(failure).toMatchObject({ code: 'io' });
  });

  it('is held also where nobody keeps what it gave', () => {
    setFlagsFromString('--expose-gc');
    const collectGarbage = runInNewContext('gc') as () => void;
    lockDataDir(directory);
    collectGarbage();
    collectGarbage();
    expect(() => lockDataDir(directory)).toThrow(DataDirLockedError);
  });
});
