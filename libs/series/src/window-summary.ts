import type { SeriesPoint } from './series-store.js';
import type { Extremes } from './thin.js';
import { windowStartMs } from './resolution.js';

/** What is kept of the points of one series within one window. */
export interface WindowSummary {
  /** Epoch ms, included; a whole multiple of the window's length. */
  readonly startMs: number;
  /** How many points, >= 1. */
  readonly count: number;
  /** The point with the latest event time. */
  readonly last: SeriesPoint;
  /** The earliest lowest point, the earliest highest point and the mean of all; null where any point is text, of which only count and last can be told. */
  readonly numbers: NumberSummary | null;
}

export interface NumberSummary extends Extremes {
  readonly mean: number;
}

/**
 * Rolls points up by windows: one summary for each window that holds a point, in order of time; empty windows have none.
 *
 * @param points In order of time, one per instant.
 * @param widthMs Length of the windows, ms, whole, >= 1.
 *
 * The mean is the mean of the points, not of time: m_n = m_(n-1) (n-1)/n + v_n/n, which cannot overflow.
 */
export function rollUpPoints(points: readonly SeriesPoint[], widthMs: number): readonly WindowSummary[] {
  const windows: OpenWindow[] = [];
  for (const point of points) {
    const [atMs, value] = point;
    const open = openAt(windows, windowStartMs(atMs, widthMs));
    if (typeof value === 'string') widen(open, 1, point, null, null, 0);
    else widen(open, 1, point, point, point, value);
  }
  return windows.map(closed);
}

/**
 * Rolls windows up to longer ones. Lowest, highest, count and last come out as from the points themselves; the mean too, to rounding.
 *
 * @param windows In order of time, of one length that `widthMs` is a whole multiple of.
 * @param widthMs Length of the longer windows, ms, whole, >= 1.
 */
export function rollUpWindows(windows: readonly WindowSummary[], widthMs: number): readonly WindowSummary[] {
  return joinedByWindow(windows, widthMs);
}

/**
 * Two summaries of different points of one window as one, for points that come when the earlier ones are no longer there.
 * Which of two points of one instant came later cannot be told from them: that of `later` stands as the last.
 */
export function mergeSummaries(earlier: WindowSummary, later: WindowSummary): WindowSummary {
  const inOrder = later.last[0] >= earlier.last[0] ? [earlier, later] : [later, earlier];
  const joined = joinedByWindow(
    inOrder.map((summary) => ({ ...summary, startMs: 0 })),
    1,
  )[0];
  return { ...(joined ?? earlier), startMs: earlier.startMs };
}

function joinedByWindow(parts: readonly WindowSummary[], widthMs: number): readonly WindowSummary[] {
  const windows: OpenWindow[] = [];
  for (const { startMs, count, last, numbers } of parts) {
    const open = openAt(windows, windowStartMs(startMs, widthMs));
    widen(open, count, last, numbers?.low ?? null, numbers?.high ?? null, numbers?.mean ?? 0);
  }
  return windows.map(closed);
}

interface OpenWindow {
  readonly startMs: number;
  count: number;
  last: SeriesPoint | null;
  low: SeriesPoint | null;
  high: SeriesPoint | null;
  mean: number;
  hasText: boolean;
}

/** The window under way, a new one where it begins later. */
function openAt(windows: OpenWindow[], startMs: number): OpenWindow {
  const newest = windows.at(-1);
  if (newest?.startMs === startMs) return newest;
  const open = { startMs, count: 0, last: null, low: null, high: null, mean: 0, hasText: false };
  windows.push(open);
  return open;
}

/** In place and without an object for every point: this runs for every reading of the plant. */
function widen(
  open: OpenWindow,
  count: number,
  last: SeriesPoint,
  low: SeriesPoint | null,
  high: SeriesPoint | null,
  mean: number,
): void {
  const together = open.count + count;
  if (low === null || high === null) open.hasText = true;
  else {
    open.mean = open.mean * (open.count / together) + mean * (count / together);
    open.low = open.low === null ? low : lower(open.low, low);
    open.high = open.high === null ? high : higher(open.high, high);
  }
  open.count = together;
  open.last = last;
}

function lower(a: SeriesPoint, b: SeriesPoint): SeriesPoint {
  return b[1] < a[1] || (b[1] === a[1] && b[0] < a[0]) ? b : a;
}

function higher(a: SeriesPoint, b: SeriesPoint): SeriesPoint {
  return b[1] > a[1] || (b[1] === a[1] && b[0] < a[0]) ? b : a;
}

/** Rounding may put the mean of equal values a hair outside of them. */
function closed({ startMs, count, last, low, high, mean, hasText }: OpenWindow): WindowSummary {
  const least = low ?? ([0, 0] as const);
  const most = high ?? ([0, 0] as const);
  const within = Math.min(Math.max(mean, Number(least[1])), Number(most[1]));
  return {
    startMs,
    count,
    last: last ?? least,
    numbers: hasText ? null : { low: least, high: most, mean: within },
  };
}
