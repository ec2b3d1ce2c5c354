import {
  rollUpPoints,
  rollUpWindows,
  mergeSummaries,
  type SeriesPoint,
  type WindowSummary,
} from '@edge-margin/series';
import type { Connection } from './connection.js';
import type { DueWindow, DueWindows } from './due-windows.js';
import type { LetGo } from './let-go.js';
import type { RecentPoints } from './recent-points.js';
import { rawLevel, type RollUpLevel, rollUpLevels } from './roll-up-level.js';
import type { RollUpTable } from './roll-up-table.js';

/** Numbers of the windows that reach into the range: the first, and the one after the last. */
export function numbersOf(
  level: RollUpLevel,
  fromMs: number,
  toMs: number,
): readonly [first: number, end: number] {
  return [Math.floor(fromMs / level.widthMs), Math.ceil(toMs / level.widthMs)];
}

/** Windows as they are now, whether rolled up since they were touched or not. */
export interface WindowReader {
  /** A window from what it is made of, as that is now. */
  readonly one: (window: DueWindow) => WindowSummary | undefined;
  readonly range: (
    seriesNumber: number,
    level: RollUpLevel,
    fromMs: number,
    toMs: number,
  ) => readonly WindowSummary[];
  /**
   * Drops what came later than the rest of its window was let go, once it has been merged into the window: it could not be told from what is
   * in there already.
   */
  readonly forgetMerged: (window: DueWindow) => void;
}

/** Reads windows from what they are made of, through the levels, where they are due. */
export function createWindowReader(
  connection: Connection,
  table: RollUpTable,
  due: DueWindows,
  letGo: LetGo,
  recent: RecentPoints,
): WindowReader {
  const points = connection
    .prepare(
      'SELECT at_ms, value FROM sample WHERE series_id = ? AND at_ms >= ? AND at_ms < ? ORDER BY at_ms',
    )
    .raw();
  const dropPoints = connection.prepare(
    'DELETE FROM sample WHERE series_id = ? AND at_ms >= ? AND at_ms < ?',
  );
  const finer = (level: RollUpLevel): RollUpLevel | undefined =>
    rollUpLevels.find(({ number }) => number === level.number - 1);
  const isIncomplete = ({ seriesNumber, level, window }: DueWindow): boolean =>
    window * level.widthMs < letGo.beforeMs(seriesNumber, finer(level)?.number ?? rawLevel);

  const pointsOf = (seriesNumber: number, fromMs: number, toMs: number): SeriesPoint[] =>
    points.all(seriesNumber, fromMs, toMs) as SeriesPoint[];
  const madeOf = (
    { seriesNumber, level, window }: DueWindow,
    incomplete: boolean,
  ): WindowSummary | undefined => {
    const [fromMs, toMs] = [window * level.widthMs, (window + 1) * level.widthMs];
    const below = finer(level);
    if (below !== undefined) return rollUpWindows(range(seriesNumber, below, fromMs, toMs), level.widthMs)[0];
    const kept = incomplete ? undefined : recent.ofWindow(seriesNumber, window);
    return rollUpPoints(kept ?? pointsOf(seriesNumber, fromMs, toMs), level.widthMs)[0];
  };
  const one = (window: DueWindow): WindowSummary | undefined => {
    const incomplete = isIncomplete(window);
    const now = madeOf(window, incomplete);
    if (!incomplete) return now;
    const before = table.read(window.seriesNumber, window.level, window.window);
    return before === undefined || now === undefined ? (before ?? now) : mergeSummaries(before, now);
  };
  const range = (
    seriesNumber: number,
    level: RollUpLevel,
    fromMs: number,
    toMs: number,
  ): readonly WindowSummary[] => {
    const [first, end] = numbersOf(level, fromMs, toMs);
    const stored = table.range(seriesNumber, level, first, end);
    const dueNumbers = due.ofSeries(seriesNumber, level, first, end);
    if (dueNumbers.length === 0) return stored;
    const isDue = new Set(dueNumbers.map((window) => window * level.widthMs));
    const anew = dueNumbers.flatMap((window) => one({ seriesNumber, level, window }) ?? []);
    return [...stored.filter(({ startMs }) => !isDue.has(startMs)), ...anew].sort(
      (a, b) => a.startMs - b.startMs,
    );
  };
  return {
    one,
    range,
    forgetMerged: (window) => {
      if (!isIncomplete(window)) return;
      const { seriesNumber, level } = window;
      const [fromMs, toMs] = [window.window * level.widthMs, (window.window + 1) * level.widthMs];
      const below = finer(level);
      if (below === undefined) dropPoints.run(seriesNumber, fromMs, toMs);
      else table.remove(seriesNumber, below, fromMs / below.widthMs, toMs / below.widthMs);
    },
  };
}
