import type { Reason } from '@edge-margin/units';
import type { Resolution } from './resolution.js';
import type { SeriesPoint } from './series-store.js';
import { bucketWidthMs, type Extremes } from './thin.js';
import { rollUpWindows, type WindowSummary } from './window-summary.js';

/** Lowest, highest and mean of the points within one interval of a trend. */
export interface BandPoint {
  /** Start of the interval, epoch ms, included. */
  readonly startMs: number;
  readonly low: number;
  readonly high: number;
  readonly mean: number;
  readonly count: number;
}

/** A trend, and where it was taken from. */
export interface Trend {
  /** Measured points in order of time, at most as many as asked for. */
  readonly points: readonly SeriesPoint[];
  /** True where there were more points than asked for and only those that keep the shape are given. */
  readonly thinned: boolean;
  readonly resolution: Resolution;
  /** `none`: nothing was found, and nothing stood in the way. */
  readonly source: 'local' | 'remote' | 'both' | 'none';
  /** Length of the intervals of the band, ms; null where there is no band (raw points, text). */
  readonly intervalMs: number | null;
  readonly band: readonly BandPoint[];
  /** Why something may be missing or coarser than it could be; null where nothing is. */
  readonly partial: Reason | null;
}

/** The part of a trend that windows give. */
export type WindowedTrend = Pick<Trend, 'points' | 'thinned' | 'intervalMs' | 'band'>;

/**
 * Length of the intervals that windows are joined to for a trend, ms: as `bucketWidthMs`, rounded up to a whole multiple of the windows.
 */
export function intervalWidthMs(
  range: { readonly fromMs: number; readonly toMs: number; readonly maxPoints: number },
  windowMs: number,
): number {
  const wanted = bucketWidthMs(range.fromMs, range.toMs - 1, range.maxPoints);
  return Math.ceil(wanted / windowMs) * windowMs;
}

/**
 * The trend that windows give: of each interval the earliest lowest and the earliest highest point, and the last point of all. Every point was
 * measured, and no peak is lost. Windows at the ends of the range may reach beyond it: their band is given whole, their points outside are not.
 * Text: the last point of each window where it differs from that of the window before.
 *
 * @param windows Of one length, in order of time.
 */
export function trendOfWindows(
  windows: readonly WindowSummary[],
  range: { readonly fromMs: number; readonly toMs: number; readonly maxPoints: number },
  windowMs: number,
): WindowedTrend {
  const last = windows.at(-1)?.last;
  if (last === undefined) return { points: [], thinned: false, intervalMs: null, band: [] };
  const intervalMs = intervalWidthMs(range, windowMs);
  const intervals = rollUpWindows(windows, intervalMs);
  const inRange = ([atMs]: SeriesPoint): boolean => atMs >= range.fromMs && atMs < range.toMs;
  const thinned = intervals.some(({ count }) => count > 1);
  if (windows.some(({ numbers }) => numbers === null)) {
    const changes = changesOf(windows.map((window) => window.last)).filter(inRange);
    return { points: changes.slice(-range.maxPoints), thinned, intervalMs: null, band: [] };
  }
  const shape = intervals.flatMap(({ numbers }) => (numbers === null ? [] : pointsInOrder(numbers)));
  const inner = shape.filter((point) => inRange(point) && point[0] < last[0]);
  return {
    points: inRange(last) ? [...inner, last] : inner,
    thinned,
    intervalMs,
    band: intervals.flatMap(bandOf),
  };
}

function pointsInOrder({ low, high }: Extremes): readonly SeriesPoint[] {
  if (low[0] === high[0]) return [low];
  return low[0] < high[0] ? [low, high] : [high, low];
}

function bandOf({ startMs, count, numbers }: WindowSummary): readonly BandPoint[] {
  if (numbers === null) return [];
  const { low, high, mean } = numbers;
  return [{ startMs, low: Number(low[1]), high: Number(high[1]), mean, count }];
}

function changesOf(points: readonly SeriesPoint[]): readonly SeriesPoint[] {
  return points.filter((point, index) => index === 0 || point[1] !== points[index - 1]?.[1]);
}
