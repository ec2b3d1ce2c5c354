import type Database from 'better-sqlite3';
import { allMigrations } from './migrations/all-migrations.js';
import { copiesOf, keepCopyBefore } from './keep-copy-before.js';
import { StoreError } from './store-error.js';

/** Marks the file as ours in its header (`application_id`): the ASCII letters EDMG. */
export const applicationId = 0x45444d47;

/**
 * Brings the file to the newest version, one transaction per step. A file that holds something is copied first (`store.sqlite.before-v<newest>`).
 * @throws StoreError `newer-version` for a file of a later version, `corrupt` for a database that is no store of this service.
 */
export function migrate(database: Database.Database): void {
  const version = readVersion(database);
  const newest = newestVersion();
  if (version > 0 && version < newest) keepCopyBefore(database, newest);
  for (const step of allMigrations.filter((candidate) => candidate.version > version)) {
    database.transaction(() => {
      database.exec(step.sql);
      database.pragma(`application_id = ${applicationId}`);
      database.pragma(`user_version = ${step.version}`);
    })();
  }
}

/** Version of the file, 0 for an empty one. Reads only. */
export function readVersion(database: Database.Database): number {
  const newest = newestVersion();
  const version = Number(database.pragma('user_version', { simple: true }));
  const owner = Number(database.pragma('application_id', { simple: true }));
  if (owner !== applicationId && !isEmpty(database)) {
    throw new StoreError('corrupt', `${database.name}: this database is no store of this service`);
  }
  if (version > newest) {
    const message = `${database.name}: version ${version} is newer than version ${newest} of this service; start the newer service${wayBack(database.name)}`;
    throw new StoreError('newer-version', message);
  }
  return version;
}

function newestVersion(): number {
  return allMigrations.at(-1)?.version ?? 0;
}

function wayBack(path: string): string {
  const copies = copiesOf(path);
  return copies.length === 0 ? '' : `, or put back the copy of before the upgrade: ${copies.join(', ')}`;
}

function isEmpty(database: Database.Database): boolean {
  return database.prepare('SELECT 1 FROM sqlite_schema LIMIT 1').get() === undefined;
}
