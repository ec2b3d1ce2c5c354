import type { RolledResolution } from './resolution.js';
import type { SeriesId } from './series-store.js';
import type { WindowSummary } from './window-summary.js';

/** A window of one series that was rolled up, or rolled up anew, with its place in the order in which that happened. */
export interface RollUpRow {
  readonly seq: number;
  readonly resolution: RolledResolution;
  readonly id: SeriesId;
  readonly window: WindowSummary;
}

/** What a replica of the roll-ups needs of the store; the same window again replaces the one before. */
export interface RollUpSource {
  /** Begins to note windows for this replica, unless that is done already. */
  readonly addReplica: (name: string) => void;
  /** The oldest windows that the replica lacks, as they are now, at most `limit`, in order. */
  readonly waiting: (name: string, limit: number) => readonly RollUpRow[];
  /** The replica has (or will never take) everything up to `seq`. */
  readonly confirm: (name: string, seq: number) => void;
  /** How many windows the replica still lacks. */
  readonly behind: (name: string) => number;
}
