import { rmSync } from 'node:fs';
import Database from 'better-sqlite3';
import { StoreError, storeErrorOf } from './store-error.js';

/**
 * Copies a SQLite file that other processes may be writing to, as it is at one moment (SQLite's online backup, in one step, so that a steady
 * writer cannot make it begin again for ever), and checks the copy. The writers go on meanwhile.
 * @param from A file that exists: the store or a segment of the journal.
 * @param to A file that does not exist.
 * @throws StoreError where either cannot be used or the copy is damaged; then no copy is left.
 */
export async function backUpDatabase(from: string, to: string): Promise<void> {
  try {
    const source = new Database(from, { readonly: true, fileMustExist: true });
    try {
      await source.backup(to, { progress: ({ totalPages }) => Math.max(totalPages, 1) });
    } finally {
      source.close();
    }
    makeOneFile(to);
    requireSound(to);
  } catch (error) {
    rmSync(to, { force: true });
    throw storeErrorOf(error, from);
  }
}

/** Without a write-ahead log: the copy is whole in itself, and looking at it leaves no files beside it. Whoever writes to it turns the log on again. */
function makeOneFile(path: string): void {
  const database = new Database(path, { fileMustExist: true });
  try {
    database.pragma('journal_mode = DELETE');
  } finally {
    database.close();
  }
}

/**
 * Reads the whole file and checks that its pages and indexes belong together (`PRAGMA integrity_check`).
 * @throws StoreError `corrupt` with the first thing that is wrong.
 */
export function requireSound(path: string): void {
  const found = integrityOf(path);
  if (found !== 'ok') throw new StoreError('corrupt', `${path}: the file is damaged (${found})`);
}

function integrityOf(path: string): string {
  const database = new Database(path, { readonly: true, fileMustExist: true });
  try {
    return String(database.pragma('integrity_check(1)', { simple: true }));
  } catch (error) {
    throw storeErrorOf(error, path);
  } finally {
    database.close();
  }
}
