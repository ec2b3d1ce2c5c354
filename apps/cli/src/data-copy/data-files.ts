import { readdirSync } from 'node:fs';
import { join } from 'node:path';

/** What lies in a data directory, by names relative to it. */
export interface DataFiles {
  readonly store: string | undefined;
  /** Segments, oldest first: their names carry their first position. */
  readonly journal: readonly string[];
  /** Everything else but locks and SQLite's companion files. */
  readonly others: readonly string[];
}

const storeName = 'store.sqlite';
const journalFolder = 'journal';
const segmentName = /^journal-\d{16}\.sqlite$/;
/** Belongs to a running process, or to a file that is listed itself. */
const passing = /^lock\.(?:sqlite|pid)$|\.sqlite-(?:wal|shm|journal)$/;

/** @throws what the file system says of a folder that cannot be read. */
export function dataFiles(directory: string): DataFiles {
  const names = readdirSync(directory).filter((name) => !passing.test(name));
  const segments = names.includes(journalFolder)
    ? readdirSync(join(directory, journalFolder)).filter((name) => segmentName.test(name))
    : [];
  return {
    store: names.includes(storeName) ? storeName : undefined,
    journal: segments.sort().map((name) => `${journalFolder}/${name}`),
    others: names.filter((name) => name !== storeName && name !== journalFolder),
  };
}
