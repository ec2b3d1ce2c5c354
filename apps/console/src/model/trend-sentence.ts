import type { DisplaySystem } from '@edge-margin/units';
import { bandValues, type TrendBand } from '../drawing/trend-band.js';
import type { TrendPoints } from '../drawing/trend-columns.js';
import { chanceWords } from './chance-words.js';
import { durationWords } from './health-words.js';
import { quantityWords } from './quantity-words.js';
import type { StationContext } from './station-context.js';
import type { TrendLane } from './trend-lanes.js';

/** A line whose last point is older than this has no present value. */
const presentMs = 15_000;

/**
 * The finding of a trend for people who cannot see it: `speed: 620 m/min; lowest 560 m/min, highest 622 m/min in the last 15 min`, and how often
 * the line is broken.
 */
export function trendSentence(
  lane: TrendLane,
  lines: readonly TrendPoints[],
  bands: readonly (TrendBand | null)[],
  span: string,
  context: StationContext,
): string {
  const own = lines.flatMap((line) => line.map(([, value]) => value)).filter((value) => value !== null);
  const values = [...own, ...bands.flatMap(bandValues)];
  if (values.length === 0) return `${lane.title}: no points in the ${span}`;
  const low = values.reduce((a, b) => Math.min(a, b));
  const high = values.reduce((a, b) => Math.max(a, b));
  const words = (value: number) => valueWords(lane, value, context.system);
  return `${lane.title}: ${presentWords(lane, lines, context)}; lowest ${words(low)}, highest ${words(high)} in the ${span}${brokenWords(lines)}`;
}

/** Holes within the lines; a line that has ended says so by itself. */
function brokenWords(lines: readonly TrendPoints[]): string {
  const holes = lines.reduce(
    (sum, line) =>
      sum +
      line.filter(([, value], at) => value === null && isValue(line[at - 1]) && at < line.length - 1).length,
    0,
  );
  if (holes === 0) return '';
  return `; broken ${holes === 1 ? 'once' : `${holes} times`}, where nothing came`;
}

function isValue(point: readonly [number, number | null] | undefined): boolean {
  return point !== undefined && point[1] !== null;
}

/** What a band is, once on a page: `The line is the mean of every 64 s, the band their lowest to highest; ...`. */
export function bandWords(bands: readonly TrendBand[]): string {
  const [first] = bands;
  if (first === undefined) return '';
  return `The line is the mean of every ${durationWords(first.windowMs / 1000)}, the band reaches from the lowest to the highest; the broken outline at the end is not complete yet.`;
}

/** `620 m/min`, `tending 3.01 kN/m, drive 2.98 kN/m`; of a line that has fallen silent, since when. */
export function presentWords(
  lane: TrendLane,
  lines: readonly TrendPoints[],
  { system, nowMs, since }: StationContext,
): string {
  const parts = lane.lines.flatMap((line, at) => {
    const last = lines[at]?.at(-1);
    if (last === undefined) return [];
    const [atMs, value] = last;
    const silent = value === null || nowMs - atMs > presentMs;
    const words = silent ? `no data since ${since(atMs)}` : valueWords(lane, value, system);
    return [line.end === null ? words : `${line.end} ${words}`];
  });
  return parts.length === 0 ? 'no data' : parts.join(', ');
}

/** A value of a lane with its unit; a chance as a chance. */
export function valueWords(lane: TrendLane, value: number, system: DisplaySystem): string {
  return lane.chance === true ? chanceWords(value) : quantityWords(lane.kind, value, system);
}
