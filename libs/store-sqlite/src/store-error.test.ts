import Database from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import { guarded, StoreError, storeErrorOf } from './store-error.js';

// Result codes: https://sqlite.org/rescode.html
describe('failures of the file', () => {
  it.each([
    ['SQLITE_FULL', 'disk-full'],
    ['SQLITE_READONLY', 'read-only'],
    ['SQLITE_READONLY_DBMOVED', 'read-only'],
    ['SQLITE_BUSY', 'locked'],
    ['SQLITE_BUSY_SNAPSHOT', 'locked'],
    ['SQLITE_LOCKED', 'locked'],
    ['SQLITE_CORRUPT', 'corrupt'],
    ['SQLITE_CORRUPT_INDEX', 'corrupt'],
    ['SQLITE_NOTADB', 'corrupt'],
    ['SQLITE_IOERR_FSYNC', 'io'],
    ['SQLITE_CANTOPEN', 'io'],
    ['SQLITE_CONSTRAINT_CHECK', 'io'],
  ])('%s is %s', (sqliteCode, code) => {
    const failure = storeErrorOf(
      new Database.SqliteError('what SQLite said', sqliteCode),
      '/data/store.sqlite',
    );
    expect(failure).toBeInstanceOf(StoreError);
    expect(failure).toMatchObject({ code });
    expect(String(failure)).toContain('/data/store.sqlite');
    expect(String(failure)).toContain('what SQLite said');
  });

  it.each([
    ['ENOSPC', 'disk-full'],
    ['EROFS', 'read-only'],
    ['EACCES', 'read-only'],
    ['ENOTDIR', 'io'],
  ])('%s of the file system is %s', (errno, code) => {
    expect(storeErrorOf(Object.assign(new Error('x'), { code: errno }), '/data')).toMatchObject({
      name: 'StoreError',
      code,
    });
  });

  it('leaves alone what is no failure of the file', () => {
    const mistake = new RangeError('value: a finite number is needed');
    expect(() =>
      guarded('/data', () => {
        throw mistake;
      }),
    ).toThrow(mistake);
    expect(storeErrorOf('text', '/data')).toBe('text');
    expect(guarded('/data', () => 5)).toBe(5);
  });
});
