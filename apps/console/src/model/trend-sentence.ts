import type { DisplaySystem } from '@edge-margin/units';
import type { TrendPoints } from '../drawing/trend-columns.js';
import { chanceWords } from './chance-words.js';
import { quantityWords } from './quantity-words.js';
import type { StationContext } from './station-context.js';
import type { TrendLane } from './trend-lanes.js';

/** A line whose last point is older than this has no present value. */
const presentMs = 15_000;

/** The finding of a trend for people who cannot see it: `speed: 620 m/min; lowest 560 m/min, highest 622 m/min in the last 15 min`. */
export function trendSentence(
  lane: TrendLane,
  lines: readonly TrendPoints[],
  span: string,
  context: StationContext,
): string {
  const values = lines.flatMap((line) => line.map(([, value]) => value)).filter((value) => value !== null);
  if (values.length === 0) return `${lane.title}: no points in the ${span}`;
  const low = values.reduce((a, b) => Math.min(a, b));
  const high = values.reduce((a, b) => Math.max(a, b));
  const words = (value: number) => valueWords(lane, value, context.system);
  return `${lane.title}: ${presentWords(lane, lines, context)}; lowest ${words(low)}, highest ${words(high)} in the ${span}`;
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
