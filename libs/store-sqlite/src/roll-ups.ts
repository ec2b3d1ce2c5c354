import {
  type Resolution,
  type RolledResolution,
  type SeriesId,
  windowStartMs,
  type WindowSummary,
} from '@edge-margin/series';
import type { Connection } from './connection.js';
import { createDueWindows, type DueWindow, type DueWindows } from './due-windows.js';
import type { Dropped } from './dropped.js';
import type { GapRecords } from './gap-records.js';
import { createLetGo, type LetGo } from './let-go.js';
import type { RecentPoints } from './recent-points.js';
import { finestLevel, levelNumber, levelOf, type RollUpLevel, rollUpLevels } from './roll-up-level.js';
import { createRollUpLog, type RollUpLog } from './roll-up-log.js';
import { createRollUpTable } from './roll-up-table.js';
import type { SeriesNumbers } from './series-numbers.js';
import { createWindowReader, numbersOf } from './window-reader.js';

/** Lowest, highest, mean, last and count of every series by windows of 10 s, 1 min and 1 h. */
export interface RollUps {
  /**
   * Rolls up windows that were touched and had ended by `endedBeforeMs`, at most `workWindows` in one call and one transaction.
   * `done`: none is left for now.
   */
  readonly rollUpDue: (
    endedBeforeMs: number,
    workWindows: number,
  ) => { readonly windows: number; readonly done: boolean };
  /** The windows of one series that reach into `[fromMs, toMs)`, in order, as they are now: what is due is worked out on the way. */
  readonly windows: (
    id: SeriesId,
    resolution: RolledResolution,
    fromMs: number,
    toMs: number,
  ) => readonly WindowSummary[];
  /** How many windows of 10 s within the range are due, at most `limit`: each costs a look at its samples. */
  readonly dueWithin: (id: SeriesId, fromMs: number, toMs: number, limit: number) => number;
  /** Since when this resolution is there, epoch ms; null where it has nothing. */
  readonly oldestMs: (id: SeriesId, resolution: Resolution) => number | null;
  /** Up to where this resolution was let go of, epoch ms; -Infinity where all that ever came is still there. */
  readonly letGoBeforeMs: (id: SeriesId, resolution: Resolution) => number;
  /** Drops windows that ended by `beforeMs`, at most about `workRows`; what is due in them is handed on to the coarser ones first. */
  readonly dropBefore: (resolution: RolledResolution, beforeMs: number, workRows: number) => Dropped;
  readonly replica: RollUpLog;
}

/** What the rest of the store needs of the roll-ups. */
export interface RollUpParts {
  readonly rollUps: RollUps;
  readonly due: DueWindows;
  readonly letGo: LetGo;
  /** Rolls up what is due of a series before its samples (level 0) or windows before `beforeMs` go. Within a transaction. */
  readonly handOn: (seriesNumber: number, level: number, beforeMs: number) => void;
}

/** The roll-ups on the open connection. */
export function createRollUps(
  connection: Connection,
  series: SeriesNumbers,
  gaps: GapRecords,
  recent: RecentPoints,
): RollUpParts {
  const table = createRollUpTable(connection);
  const due = createDueWindows(connection);
  const letGo = createLetGo(connection);
  const log = createRollUpLog(connection, series, table, gaps);
  const windowsAsNow = createWindowReader(connection, table, due, letGo, recent);

  const rollUp = (window: DueWindow): void => {
    const { seriesNumber, level } = window;
    const summary = windowsAsNow.one(window);
    if (summary !== undefined) {
      table.write(seriesNumber, level, summary);
      log.append(seriesNumber, level, window.window);
    }
    windowsAsNow.forgetMerged(window);
    due.settle(window);
  };
  const handOn = (seriesNumber: number, levelNumber: number, beforeMs: number): void => {
    const level = rollUpLevels.find(({ number }) => number === levelNumber + 1);
    if (level === undefined) return;
    const end = Math.ceil(beforeMs / level.widthMs);
    for (const window of due.ofSeries(seriesNumber, level, -Number.MAX_SAFE_INTEGER, end))
      rollUp({ seriesNumber, level, window });
  };
  const dropBefore = (level: RollUpLevel, beforeMs: number, workRows: number): Dropped => {
    const coarserMs =
      rollUpLevels.find(({ number }) => number === level.number + 1)?.widthMs ?? level.widthMs;
    let rows = 0;
    for (const { number } of series.all()) {
      const oldest = table.oldest(number, level);
      if (oldest === undefined || oldest * level.widthMs >= windowStartMs(beforeMs, coarserMs)) continue;
      const firstKept = table.nth(number, level, Math.max(1, workRows - rows)) ?? Infinity;
      const cutMs = wholeWindows(beforeMs, firstKept * level.widthMs, oldest * level.widthMs, coarserMs);
      handOn(number, level.number, cutMs);
      rows += table.remove(number, level, -Number.MAX_SAFE_INTEGER, cutMs / level.widthMs);
      letGo.note(number, level.number, cutMs);
      if (cutMs < windowStartMs(beforeMs, coarserMs)) return { rows, done: false };
    }
    return { rows, done: true };
  };
  const oldestSample = connection
    .prepare('SELECT at_ms FROM sample WHERE series_id = ? ORDER BY at_ms LIMIT 1')
    .pluck();

  const rollUps: RollUps = {
    rollUpDue: (endedBeforeMs, workWindows) =>
      connection.transaction(() => {
        const windows = due.ended(endedBeforeMs, workWindows);
        windows.forEach(rollUp);
        return { windows: windows.length, done: windows.length < workWindows };
      }),
    windows: (id, resolution, fromMs, toMs) => {
      const found = series.find(id);
      return found === undefined || toMs <= fromMs
        ? []
        : connection.guard(() => windowsAsNow.range(found.number, levelOf(resolution), fromMs, toMs));
    },
    dueWithin: (id, fromMs, toMs, limit) => {
      const found = series.find(id);
      if (found === undefined) return 0;
      const [first, end] = numbersOf(finestLevel, fromMs, toMs);
      return connection.guard(() => due.count(found.number, finestLevel, first, end, limit));
    },
    oldestMs: (id, resolution) => {
      const found = series.find(id);
      if (found === undefined) return null;
      return connection.guard(() => {
        const sampleMs = (oldestSample.get(found.number) as number | undefined) ?? null;
        if (resolution === 'raw') return sampleMs;
        const level = levelOf(resolution);
        const oldest = table.oldest(found.number, level);
        if (oldest !== undefined) return oldest * level.widthMs;
        return sampleMs === null ? null : windowStartMs(sampleMs, level.widthMs);
      });
    },
    letGoBeforeMs: (id, resolution) => {
      const found = series.find(id);
      return found === undefined ? -Infinity : letGo.beforeMs(found.number, levelNumber(resolution));
    },
    dropBefore: (resolution, beforeMs, workRows) =>
      connection.transaction(() => dropBefore(levelOf(resolution), beforeMs, workRows)),
    replica: log,
  };
  return { rollUps, due, letGo, handOn };
}

/**
 * Up to where rows go in one call: whole windows of the next coarser level, so that none loses only a part of what it is made of.
 * @param firstKeptMs The first row that one call must leave.
 */
export function wholeWindows(
  beforeMs: number,
  firstKeptMs: number,
  oldestMs: number,
  coarserMs: number,
): number {
  const cutMs = windowStartMs(Math.min(beforeMs, firstKeptMs), coarserMs);
  // One window alone may be more than a call's work.
  return cutMs > oldestMs ? cutMs : windowStartMs(oldestMs, coarserMs) + coarserMs;
}
