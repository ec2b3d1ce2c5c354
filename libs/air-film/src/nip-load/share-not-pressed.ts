import { inRange } from '../in-range.js';

/** A strip of the nip and how far the roll lies there below its highest strip, before the cover gives way. */
export interface NipStrip {
  /** Share of the contact width, > 0. */
  readonly widthRatio: number;
  /** Distance from the straight line of the roller, m; only differences count. */
  readonly gapM: number;
}

/**
 * Share of the width that the cover does not reach down to.
 *
 * The same load on an even roll indents the cover by `indentationM`. On an uneven one the high strips take more, so that the roller comes down by s with `sum of width x max(0, s - gap) = indentation`
 * (a bed of springs: load proportional to indentation; own simplification). Strips with a gap of s or more are not pressed. For one low lane in a wide roll this is "gap above the
 * indentation".
 *
 * Pessimistic: the roll itself gives way too, and lanes even out as they wind; air that runs sideways into a lane is not counted.
 * @param strips at least one; shares are scaled to a sum of 1.
 * @param indentationM indentation of the cover by the same load on an even roll, m, >= 0 (`layeredContact`); 0 presses nothing.
 * @returns 0 to 1.
 * @throws RangeError without strips, or if a share is not above 0 or a gap not finite.
 */
export function shareNotPressed(strips: readonly NipStrip[], indentationM: number): number {
  inRange({ name: 'indentationM', value: indentationM, unit: 'm', low: 0, high: 1 });
  if (strips.length === 0) throw new RangeError('strips: at least one is needed, got 0');
  for (const { widthRatio, gapM } of strips) {
    inRange({ name: 'widthRatio', value: widthRatio, unit: '1', low: Number.MIN_VALUE, high: 1e6 });
    inRange({ name: 'gapM', value: gapM, unit: 'm', low: -1, high: 1 });
  }
  if (indentationM === 0) return 1;
  const sorted = strips.toSorted((a, b) => a.gapM - b.gapM);
  const total = sorted.reduce((sum, { widthRatio }) => sum + widthRatio, 0);
  const free = sorted.slice(pressedStrips(sorted, indentationM * total));
  return free.reduce((sum, { widthRatio }) => sum + widthRatio, 0) / total;
}

/**
 * {@link shareNotPressed} of a profile that is known at the middles of strips of one width: straight lines between them, so that the share has no jumps as load or profile change.
 * @param gapsM distance from the straight line of the roller at each strip, m, at least two.
 */
export function shareBelowProfile(gapsM: readonly number[], indentationM: number): number {
  inRange({ name: 'indentationM', value: indentationM, unit: 'm', low: 0, high: 1 });
  if (indentationM === 0) return 1;
  const sorted = gapsM.map((gapM) => ({ widthRatio: 1, gapM })).toSorted((a, b) => a.gapM - b.gapM);
  const count = sorted.length;
  const pressed = pressedStrips(sorted, indentationM * count);
  const comesDownM =
    (indentationM * count + sorted.slice(0, pressed).reduce((sum, { gapM }) => sum + gapM, 0)) / pressed;
  // Beyond the last middle the profile goes on as between the two before it.
  const upper = Math.min(pressed, count - 1);
  const [below = 0, above = 0] = [sorted[upper - 1]?.gapM, sorted[upper]?.gapM];
  if (above <= below) return pressed === count ? 0 : 1 - pressed / count;
  const reached = upper - 0.5 + (comesDownM - below) / (above - below);
  return Math.min(1, Math.max(0, 1 - reached / count));
}

/** How many strips, from the highest on, the roller comes down to. */
function pressedStrips(sorted: readonly NipStrip[], indentedArea: number): number {
  let width = 0;
  let moment = 0;
  const firstFree = sorted.findIndex(({ widthRatio, gapM }) => {
    // How far the roller comes down on the strips so far; a deeper one stays free.
    if (width > 0 && (indentedArea + moment) / width <= gapM) return true;
    width += widthRatio;
    moment += widthRatio * gapM;
    return false;
  });
  return firstFree === -1 ? sorted.length : firstFree;
}

/** Distance of the lowest from the highest strip, m. */
export function gapRange(strips: readonly NipStrip[]): number {
  const gaps = strips.map(({ gapM }) => gapM);
  return Math.max(...gaps) - Math.min(...gaps);
}
