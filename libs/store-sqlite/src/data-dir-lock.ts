import { accessSync, constants, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { guarded, StoreError, storeErrorOf } from './store-error.js';

/** Another process works in the data directory. */
export class DataDirLockedError extends Error {
  readonly code = 'data-dir-locked';
  readonly dir: string;
  /** Process id of the holder as it left it, `null` where it could not be read. */
  readonly holderPid: number | null;

  constructor(dir: string, holderPid: number | null) {
    const holder = holderPid === null ? 'another process' : `process ${holderPid}`;
    super(`${dir}: ${holder} is already working in this data directory; one process per directory`);
    this.name = 'DataDirLockedError';
    this.dir = dir;
    this.holderPid = holderPid;
  }
}

export interface DataDirLock {
  readonly release: () => void;
}

/** What is held stays reachable: a lock that nobody refers to any more would be let go of by the garbage collector. */
const held = new Set<Database.Database>();

/**
 * Takes the data directory (made if need be) for this process until `release` or the end of the process, however it ends:
 * the lock is an exclusive transaction on a small SQLite file, which the operating system lets go with the process. Nothing is ever written
 * to that file; the holder's process id stands in a file beside it (reading the locked file itself would drop the lock: POSIX locks go when
 * any descriptor of the file is closed).
 *
 * @throws DataDirLockedError if another process (or this one) holds it; StoreError if the directory cannot be used.
 */
export function lockDataDir(dir: string): DataDirLock {
  guarded(dir, () => {
    mkdirSync(dir, { recursive: true });
    // SQLite would only say that it cannot open a file.
    accessSync(dir, constants.W_OK | constants.X_OK);
  });
  const holderFile = join(dir, 'lock.pid');
  const file = join(dir, 'lock.sqlite');
  const lock = guarded(file, () => new Database(file, { timeout: 0 }));
  try {
    lock.exec('BEGIN EXCLUSIVE');
    writeFileSync(holderFile, `${process.pid}\n`);
  } catch (error) {
    lock.close();
    const failure = storeErrorOf(error, file);
    throw failure instanceof StoreError && failure.code === 'locked'
      ? new DataDirLockedError(dir, readPid(holderFile))
      : failure;
  }
  held.add(lock);
  return {
    release: () => {
      if (!lock.open) return;
      rmSync(holderFile, { force: true });
      lock.close();
      held.delete(lock);
    },
  };
}

function readPid(holderFile: string): number | null {
  try {
    const pid = Number(readFileSync(holderFile, 'utf8'));
    return Number.isSafeInteger(pid) && pid > 0 ? pid : null;
  } catch {
    return null;
  }
}
