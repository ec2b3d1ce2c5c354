import { type MissingTime, type TrendPoints, usualStepMs, withGaps } from './trend-columns.js';

/** What a trend that was drawn from windows tells of each: between which values its points lay. */
export interface TrendBand {
  /** Length of each window, ms; they begin at whole multiples of it. */
  readonly windowMs: number;
  /** `[startMs, lowest, highest]` of every window that holds a point, in order of time. */
  readonly windows: readonly (readonly [startMs: number, low: number, high: number])[];
}

/** What the series of the service say of one trend. */
export interface WindowedSeries {
  readonly points: readonly (readonly [number, number])[];
  readonly intervalMs: number | null;
  readonly band: readonly (readonly [number, number, number, number])[];
}

/** Windows that may be missing before the line of their means is broken. */
const borneWindows = 2.5;

/** The band of a trend; null where it was drawn from the points themselves. */
export function bandOf({ intervalMs, band }: WindowedSeries): TrendBand | null {
  if (intervalMs === null || band.length === 0) return null;
  return { windowMs: intervalMs, windows: band.map(([startMs, low, high]) => [startMs, low, high]) };
}

/**
 * The line within a band: the mean of each window in its middle, and of the last one, which has not ended, the points themselves. A line
 * through the lowest and highest of every window would hide the band and say the same.
 */
export function meanLine(
  { points, band }: WindowedSeries,
  windowMs: number,
  missing: readonly MissingTime[],
): TrendPoints {
  const last = band.at(-1);
  if (last === undefined) return [];
  const means = band.slice(0, -1).map(([startMs, , , mean]) => [startMs + windowMs / 2, mean] as const);
  const latest = points.filter(([atMs]) => atMs >= last[0]);
  const usualMs = usualStepMs(means);
  const quietMs = Math.max(borneWindows * windowMs, borneWindows * (usualMs ?? 0));
  return withGaps([...means, ...latest], { quietMs, usualMs, missing });
}

/** Every lowest and highest of a band; none where there is none. */
export function bandValues(band: TrendBand | null): readonly number[] {
  return band === null ? [] : band.windows.flatMap(([, low, high]) => [low, high]);
}

/** The band with a value that has just come; the same where it is older than what is there. */
export function bandWith(band: TrendBand, atMs: number, value: number, fromMs: number): TrendBand {
  const { windowMs } = band;
  const startMs = Math.floor(atMs / windowMs) * windowMs;
  const last = band.windows.at(-1);
  if (last !== undefined && startMs < last[0]) return band;
  const isOpen = last !== undefined && startMs === last[0];
  const before = isOpen ? band.windows.slice(0, -1) : band.windows;
  const [low, high] = isOpen ? [Math.min(last[1], value), Math.max(last[2], value)] : [value, value];
  return {
    windowMs,
    windows: [...before.filter(([start]) => start + windowMs > fromMs), [startMs, low, high]],
  };
}

/** Windows that follow each other without a hole, as one outline each, those that have not ended apart: they are drawn open. */
export function bandParts(
  band: TrendBand,
  nowMs: number,
): { readonly ended: readonly TrendBand['windows'][]; readonly open: TrendBand['windows'] } {
  const { windowMs, windows } = band;
  const ended: (readonly [number, number, number])[][] = [];
  for (const window of windows.filter(([startMs]) => startMs + windowMs <= nowMs)) {
    const part = ended.at(-1);
    const before = part?.at(-1);
    if (part !== undefined && before !== undefined && before[0] + windowMs === window[0]) part.push(window);
    else ended.push([window]);
  }
  return { ended, open: windows.filter(([startMs]) => startMs + windowMs > nowMs) };
}
