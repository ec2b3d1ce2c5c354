import type { SeriesPoint } from '@edge-margin/series';
import type { Connection } from './connection.js';
import { finestLevel } from './roll-up-level.js';

/**
 * The points of each series' two newest windows of 10 s, in memory: a window is rolled up seconds after it ended, and what it is made of
 * need not be read again. Only windows that are known from their first point to their last are kept; every other one is read from the table.
 */
export interface RecentPoints {
  /**
   * Tells of a point that is written. Within a transaction.
   * @returns true where it is later than all that the series has ever held: it replaces nothing.
   */
  readonly take: (seriesNumber: number, atMs: number, value: number | string) => boolean;
  /** All points of a window of 10 s in order of time; undefined where they are not known. Not for windows that were let go of. */
  readonly ofWindow: (seriesNumber: number, window: number) => SeriesPoint[] | undefined;
}

/** The recent points of what is written through the open connection; none after a rollback. */
export function createRecentPoints(connection: Connection): RecentPoints {
  const newest = connection
    .prepare('SELECT at_ms FROM sample WHERE series_id = ? ORDER BY at_ms DESC LIMIT 1')
    .pluck();
  const bySeries = new Map<number, Recent>();
  connection.onRollback(() => bySeries.clear());
  const recentOf = (seriesNumber: number): Recent => {
    const known = bySeries.get(seriesNumber);
    if (known !== undefined) return known;
    const newestMs = (newest.get(seriesNumber) as number | undefined) ?? -Infinity;
    const recent = { newestMs, current: undefined, before: undefined };
    bySeries.set(seriesNumber, recent);
    return recent;
  };
  return {
    take: (seriesNumber, atMs, value) => {
      const recent = recentOf(seriesNumber);
      const isNewest = atMs > recent.newestMs;
      if (isNewest) add(recent, atMs, value);
      else forget(recent, windowOf(atMs));
      return isNewest;
    },
    ofWindow: (seriesNumber, window) => {
      const recent = bySeries.get(seriesNumber);
      const kept = [recent?.current, recent?.before].find((candidate) => candidate?.window === window);
      return kept?.times.map((atMs, index): SeriesPoint => [atMs, kept.values[index] ?? 0]);
    },
  };
}

interface Recent {
  newestMs: number;
  current: KeptWindow | undefined;
  before: KeptWindow | undefined;
}

/** Times and values apart: lists of plain numbers cost no object for every point. */
interface KeptWindow {
  readonly window: number;
  readonly times: number[];
  readonly values: (number | string)[];
}

const windowOf = (atMs: number): number => Math.floor(atMs / finestLevel.widthMs);

function add(recent: Recent, atMs: number, value: number | string): void {
  const window = windowOf(atMs);
  if (windowOf(recent.newestMs) !== window) {
    recent.before = recent.current;
    recent.current = { window, times: [], values: [] };
  }
  recent.newestMs = atMs;
  // A window that was under way when the store was opened, or forgotten, has no list.
  if (recent.current?.window !== window) return;
  recent.current.times.push(atMs);
  recent.current.values.push(value);
}

function forget(recent: Recent, window: number): void {
  if (recent.current?.window === window) recent.current = undefined;
  if (recent.before?.window === window) recent.before = undefined;
}
