import { existsSync, readdirSync, renameSync, rmSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import type Database from 'better-sqlite3';
import { StoreError, storeErrorOf } from './store-error.js';

/**
 * Keeps a copy of the store as it is, beside it, before it is brought to a newer version: the way back to the older program. One copy is kept,
 * that of the last upgrade. The copy is complete or not there: it is written under another name first.
 * @param database Open for writing, in no transaction.
 * @param version The version that it is about to get, which names the copy: `store.sqlite.before-v3`.
 * @throws StoreError where the copy cannot be written; then nothing has changed.
 */
export function keepCopyBefore(database: Database.Database, version: number): void {
  const copy = copyBefore(database.name, version);
  const unfinished = `${copy}.unfinished`;
  try {
    rmSync(unfinished, { force: true });
    database.prepare('VACUUM INTO ?').run(unfinished);
    renameSync(unfinished, copy);
  } catch (error) {
    rmSync(unfinished, { force: true });
    throw withoutCopy(storeErrorOf(error, unfinished), version);
  }
  for (const older of copiesOf(database.name)) if (older !== copy) rmSync(older, { force: true });
}

/** Copies that upgrades have left beside the store. */
export function copiesOf(path: string): readonly string[] {
  const folder = dirname(path);
  if (!existsSync(folder)) return [];
  const beginning = `${basename(path)}.before-v`;
  return readdirSync(folder)
    .filter((name) => name.startsWith(beginning) && /^\d+$/.test(name.slice(beginning.length)))
    .sort()
    .map((name) => join(folder, name));
}

function copyBefore(path: string, version: number): string {
  return `${path}.before-v${version}`;
}

function withoutCopy(error: unknown, version: number): unknown {
  if (!(error instanceof StoreError)) return error;
  const message = `${error.message}; the store was not brought to version ${version}, because no copy could be kept`;
  return new StoreError(error.code, message, error);
}
