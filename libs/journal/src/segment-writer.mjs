// @ts-check
// Writes batches into segment files. Runs in the writer thread. Plain JavaScript, so that Node 20 runs the very same file
// from `src` (under the tests) and from `dist`: see the note at `start-writer-thread.ts`.
import Database from 'better-sqlite3';
import { closeSync, fsyncSync, openSync } from 'node:fs';
import { dirname } from 'node:path';
import { rowsOf } from './batch-format.mjs';

/**
 * One batch for one segment.
 * @typedef {object} WriteRequest
 * @property {string} file Path of the segment.
 * @property {number} segmentFirst First position of the segment.
 * @property {number} first Position of the batch's first row.
 * @property {number} count
 * @property {Uint8Array} bytes The rows, as `batch-format.mjs` lays them out.
 */

/**
 * @typedef {{ ok: true; last: number; segmentBytes: number } | { ok: false; code: string; message: string }} WriteReply
 */

/**
 * @typedef {object} OpenSegment
 * @property {string} file
 * @property {Database.Database} database
 * @property {Database.Statement} insert
 * @property {number} last Highest position in the file, or the one before its first.
 */

/** `PRAGMA user_version` of a segment. */
export const segmentVersion = 1;

const schema = `CREATE TABLE IF NOT EXISTS row (
  position INTEGER PRIMARY KEY, kind INTEGER NOT NULL, arrived_at_ms INTEGER NOT NULL, flags INTEGER NOT NULL,
  topic TEXT, payload BLOB, json TEXT)`;

/**
 * The directory entry of a new file must be on disk too, or a power cut takes the file away.
 * @param {string} directory
 */
function syncDirectory(directory) {
  if (process.platform === 'win32') return;
  const descriptor = openSync(directory, 'r');
  try {
    fsyncSync(descriptor);
  } finally {
    closeSync(descriptor);
  }
}

/**
 * @param {string} file
 * @param {number} segmentFirst
 * @returns {OpenSegment}
 */
function openSegment(file, segmentFirst) {
  const database = new Database(file);
  try {
    database.pragma('journal_mode = WAL');
    database.pragma('synchronous = FULL');
    if (database.pragma('user_version', { simple: true }) === 0) {
      database.transaction(() => {
        database.exec(schema);
        database.pragma(`user_version = ${segmentVersion}`);
      })();
      syncDirectory(dirname(file));
    }
    const { last } = /** @type {{ last: number | null }} */ (
      database.prepare('SELECT max(position) AS last FROM row').get()
    );
    const insert = database.prepare('INSERT INTO row VALUES (?, ?, ?, ?, ?, ?, ?)');
    return { file, database, insert, last: last ?? segmentFirst - 1 };
  } catch (error) {
    database.close();
    throw error;
  }
}

/**
 * A closed segment is one file in rollback mode: readers need no companion files.
 * @param {OpenSegment} segment
 */
function closeSegment(segment) {
  try {
    segment.database.pragma('busy_timeout = 200');
    segment.database.pragma('journal_mode = DELETE');
  } catch {
    // A reader holds it, or the disk is full: it stays in WAL mode, which is as safe and only less tidy.
  }
  segment.database.close();
}

/**
 * A segment that lacks rows which were reported as written, or holds others than ours, must not be continued.
 * @param {OpenSegment} segment
 * @param {WriteRequest} request
 */
function refuseGapOrOverlap(segment, request) {
  const end = request.first + request.count - 1;
  if (segment.last >= request.first - 1 && segment.last <= end) return;
  const found = `the file ends at position ${segment.last}, rows ${request.first} to ${end} were to follow`;
  throw Object.assign(new Error(`${segment.file}: ${found}`), { code: 'JOURNAL_CORRUPT' });
}

/**
 * Keeps one segment open and writes to it; a request for another file closes the one and opens the other.
 */
export function createSegmentWriter() {
  /** @type {OpenSegment | undefined} */
  let open;

  /** @param {WriteRequest} request */
  function segmentFor(request) {
    if (open?.file === request.file) return open;
    close();
    open = openSegment(request.file, request.segmentFirst);
    refuseGapOrOverlap(open, request);
    return open;
  }

  /**
   * The whole batch in one transaction. Rows that an earlier, reportedly failed attempt did write are not written again.
   * @param {WriteRequest} request
   * @returns {WriteReply}
   */
  function write(request) {
    try {
      const segment = segmentFor(request);
      let position = request.first;
      segment.database.exec('BEGIN IMMEDIATE');
      for (const row of rowsOf(request.bytes)) {
        if (position > segment.last)
          segment.insert.run(
            position,
            row.kind,
            row.arrivedAtMs,
            row.flags,
            row.topic,
            row.payload,
            row.json,
          );
        position += 1;
      }
      segment.database.exec('COMMIT');
      segment.last = position - 1;
      return { ok: true, last: segment.last, segmentBytes: bytesOf(segment.database) };
    } catch (error) {
      discard();
      const { code = 'UNKNOWN', message } = /** @type {Error & { code?: string }} */ (error);
      return { ok: false, code, message };
    }
  }

  /** After a failure the file is opened anew, so that what it really holds is read from it. */
  function discard() {
    try {
      open?.database.close();
    } catch {
      // The failure that led here is the one to report.
    }
    open = undefined;
  }

  function close() {
    if (open !== undefined) closeSegment(open);
    open = undefined;
  }

  return { write, close };
}

/** @param {Database.Database} database */
function bytesOf(database) {
  const pages = /** @type {number} */ (database.pragma('page_count', { simple: true }));
  const pageBytes = /** @type {number} */ (database.pragma('page_size', { simple: true }));
  return pages * pageBytes;
}
