import type { DisplaySystem } from '@edge-margin/units';
import type { TrendPoints } from '../drawing/trend-columns.js';
import { numberWords, quantityWords } from './quantity-words.js';
import type { TrendLane } from './trend-lanes.js';

/** The finding of a trend for people who cannot see it: `speed: now 620 m/min; lowest 560, highest 622 in the last 15 min`. */
export function trendSentence(
  lane: TrendLane,
  lines: readonly TrendPoints[],
  span: string,
  system: DisplaySystem,
): string {
  const values = lines.flatMap((line) => line.map(([, value]) => value)).filter((value) => value !== null);
  if (values.length === 0) return `${lane.title}: no points in the ${span}`;
  const low = values.reduce((a, b) => Math.min(a, b));
  const high = values.reduce((a, b) => Math.max(a, b));
  return `${lane.title}: ${presentWords(lane, lines, system)}; lowest ${numberWords(lane.kind, low, system)}, highest ${quantityWords(lane.kind, high, system)} in the ${span}`;
}

/** `620 m/min`, `tending 3.01, drive 2.98 kN/m`; the last point of each line that has one. */
export function presentWords(lane: TrendLane, lines: readonly TrendPoints[], system: DisplaySystem): string {
  const parts = lane.lines.flatMap((line, at) => {
    const last = lines[at]?.at(-1);
    if (last === undefined) return [];
    const words = last[1] === null ? 'no data' : quantityWords(lane.kind, last[1], system);
    return [line.end === null ? words : `${line.end} ${words}`];
  });
  return parts.length === 0 ? 'no data' : parts.join(', ');
}
