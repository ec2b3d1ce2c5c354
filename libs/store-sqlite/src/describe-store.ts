import Database from 'better-sqlite3';
import { guarded } from './store-error.js';
import { readVersion } from './migrate.js';

/** What a store says of itself without being brought to the newest version. */
export interface StoreDescription {
  readonly version: number;
  /** Journal position that it has reached. */
  readonly position: number;
}

/**
 * Reads version and position of a store and changes nothing.
 * @throws StoreError `newer-version`, `corrupt`, or another where the file cannot be read.
 */
export function describeStore(path: string): StoreDescription {
  return guarded(path, () => {
    const database = new Database(path, { readonly: true, fileMustExist: true });
    try {
      const version = readVersion(database);
      const position = version === 0 ? 0 : database.prepare('SELECT position FROM progress').pluck().get();
      return { version, position: Number(position) };
    } finally {
      database.close();
    }
  });
}
