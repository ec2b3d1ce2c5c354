import type { JournalRow } from '@edge-margin/telemetry';
import Database from 'better-sqlite3';
import { dirname } from 'node:path';
import type { RowColumns } from './batch-format.mjs';
import { JournalError, journalErrorFor } from './journal-error.js';
import { rowOf } from './row-columns.js';
import type { Segment } from './segment.js';

interface StoredRow {
  readonly position: number;
  readonly kind: number;
  readonly arrived_at_ms: number;
  readonly flags: number;
  readonly topic: string | null;
  readonly payload: Uint8Array | null;
  readonly json: string | null;
}

/**
 * Rows in order from a position on, across segments, on connections of its own.
 * @param segments In order, without gaps.
 * @param from First position wanted.
 * @param to Last position wanted.
 * @throws JournalError `corrupt` where a position is missing.
 */
export function readRows(segments: readonly Segment[], from: number, to: number): readonly JournalRow[] {
  const rows: JournalRow[] = [];
  for (const segment of segments) {
    if (segment.last < from || segment.first > to) continue;
    for (const stored of readSegment(segment, from, to)) {
      const expected = from + rows.length;
      if (stored.position !== expected)
        throw new JournalError('corrupt', `${segment.file} does not hold position ${expected}`);
      rows.push(rowOf(stored.position, columnsIn(stored)));
    }
  }
  return rows;
}

function readSegment(segment: Segment, from: number, to: number): readonly StoredRow[] {
  try {
    const database = new Database(segment.file, { readonly: true, fileMustExist: true });
    try {
      return database
        .prepare('SELECT * FROM row WHERE position BETWEEN ? AND ? ORDER BY position')
        .all(from, to) as StoredRow[];
    } finally {
      database.close();
    }
  } catch (error) {
    throw journalErrorFor(error as Error & { code?: string }, dirname(segment.file));
  }
}

function columnsIn(stored: StoredRow): RowColumns {
  const { kind, flags, arrived_at_ms: arrivedAtMs, topic, payload, json } = stored;
  return { kind, flags, arrivedAtMs, topic, payload, json };
}
