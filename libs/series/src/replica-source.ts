import type { Reason } from '@edge-margin/units';
import type { SeriesSample } from './series-store.js';

/** A sample with its place in the order in which the store took it in. */
export interface ReplicaRow {
  readonly seq: number;
  readonly sample: SeriesSample;
  /** `seriesKey` of the sample, where the store knows it already: making it for every row costs more than writing the row. */
  readonly key?: string;
}

/** A sample that the replica will never take, with the reason. */
export interface RefusedRow extends ReplicaRow {
  readonly because: Reason;
}

/**
 * What a replica needs of the store that it copies: rows in the order in which they were written (a rewritten sample appears again),
 * and a durable cursor under the replica's name.
 */
export interface ReplicaSource {
  /** Begins to keep rows for this replica, unless that is done already. */
  readonly addReplica: (name: string) => void;
  /** `seq` of the last row that the replica has; 0 before the first. */
  readonly readCursor: (name: string) => number;
  /** Rows after `seq`, at most `limit`, in order. */
  readonly samplesAfter: (seq: number, limit: number) => readonly ReplicaRow[];
  /** Moves the cursor (never back) and records the rows that the replica refused, in one transaction. */
  readonly writeCursor: (name: string, seq: number, refused?: readonly RefusedRow[]) => void;
  /** How many rows the replica still lacks. */
  readonly behind: (name: string) => number;
}
