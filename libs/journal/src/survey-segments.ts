import Database from 'better-sqlite3';
import { readdirSync, rmSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { JournalError, journalErrorFor } from './journal-error.js';
import { firstByName, type Segment, segmentFile } from './segment.js';
import { segmentVersion } from './segment-writer.mjs';

/**
 * Looks at every segment in a directory, in order: that each begins where the one before ended, and that the last, which a killed
 * process may have left half written, holds every position. (Inside the others `read` would notice a gap.) SQLite completes or
 * undoes on opening what was under way. A segment without rows, left by a kill just after its creation, is not listed:
 * the writer takes it up again.
 * @throws JournalError `corrupt` for a gap, an overlap, a damaged file or one of a later version.
 */
export function surveySegments(directory: string): readonly Segment[] {
  const names = readdirSync(directory);
  removeOrphans(directory, names);
  const firsts = names
    .map(firstByName)
    .filter((first) => first !== undefined)
    .sort((a, b) => a - b);
  const segments: Segment[] = [];
  for (const [index, first] of firsts.entries()) {
    const before = segments.at(-1);
    if (before !== undefined && first !== before.last + 1) throw doesNotFollow(before, first);
    const segment = survey(directory, first, index === firsts.length - 1);
    if (segment !== undefined) segments.push(segment);
    else if (index < firsts.length - 1)
      throw new JournalError('corrupt', `${segmentFile(directory, first)} is empty, but another follows`);
  }
  return segments;
}

/** A disposal that was cut short leaves companion files without their segment. */
function removeOrphans(directory: string, names: readonly string[]): void {
  for (const name of names) {
    const owner = /^(journal-\d{16}\.sqlite)-(?:wal|shm|journal)$/.exec(name)?.[1];
    if (owner !== undefined && !names.includes(owner)) rmSync(join(directory, name), { force: true });
  }
}

function doesNotFollow(before: Segment, first: number): JournalError {
  const what =
    first > before.last + 1
      ? `positions ${before.last + 1} to ${first - 1} are missing`
      : `positions ${first} to ${before.last} are there twice`;
  return new JournalError(
    'corrupt',
    `${what}: ${before.file} ends at ${before.last}, the next begins at ${first}`,
  );
}

interface Extent {
  readonly low: number | null;
  readonly high: number | null;
}

function survey(directory: string, first: number, countAll: boolean): Segment | undefined {
  const file = segmentFile(directory, first);
  try {
    const database = new Database(file, { fileMustExist: true });
    try {
      if (!hasRows(database, file)) return undefined;
      const { low, high } = database
        .prepare('SELECT min(position) AS low, max(position) AS high FROM row')
        .get() as Extent;
      if (low === null || high === null) return undefined;
      if (low !== first) throw new JournalError('corrupt', `${file} begins at position ${low}`);
      if (countAll) requireEveryPosition(database, file, low, high);
      const bytes = statSync(file).size;
      return {
        file,
        first,
        last: high,
        bytes,
        firstArrivedAtMs: arrivalAt(database, low),
        lastArrivedAtMs: arrivalAt(database, high),
      };
    } finally {
      database.close();
    }
  } catch (error) {
    if (error instanceof JournalError) throw error;
    throw journalErrorFor(error as Error & { code?: string }, directory);
  }
}

function hasRows(database: Database.Database, file: string): boolean {
  const version = database.pragma('user_version', { simple: true }) as number;
  if (version > segmentVersion)
    throw new JournalError('corrupt', `${file} was written by a later version (format ${version})`);
  return version === segmentVersion;
}

function requireEveryPosition(database: Database.Database, file: string, low: number, high: number): void {
  const { count } = database.prepare('SELECT count(*) AS count FROM row').get() as { count: number };
  if (count !== high - low + 1)
    throw new JournalError('corrupt', `${file} holds ${count} rows for positions ${low} to ${high}`);
}

function arrivalAt(database: Database.Database, position: number): number {
  const row = database.prepare('SELECT arrived_at_ms AS atMs FROM row WHERE position = ?').get(position);
  return (row as { atMs: number }).atMs;
}
