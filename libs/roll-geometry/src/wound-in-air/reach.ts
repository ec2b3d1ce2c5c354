import type { Quantity } from '@edge-margin/units';
import type { BuildLawName } from './build-law.js';

/** How far the roll has been followed, in m of web or in wraps. */
export interface Reach {
  /** Null where it is not known at this moment. */
  readonly position: number | null;
  /** The counter when it last told, and the position then. */
  readonly counter: { readonly value: number; readonly position: number; readonly atMs: number } | null;
}

/** What moves the reach in one cell. */
interface Advance {
  readonly over: BuildLawName;
  readonly atMs: number;
  readonly durationS: number;
  readonly count: Quantity;
  readonly speedMPerS: Quantity;
}

export const nothingReached: Reach = { position: null, counter: null };

/** A speed is taken to have held for this long at most, s. Own choice, as in the roll tracker. */
const speedHoldsS = 10;
/** Between counts this far apart at most, the speed now bounds what was counted, s. Own choice. */
const speedBoundsS = 2;
/** No winder runs faster, m/s, and none is jogged backwards faster. Own assumptions. */
const fastestMPerS = 60;
const backwardsMPerS = 2;
/** No winding roll makes more wraps, 1/s, and none turns back faster. Own assumptions. */
const fastestHz = 200;
const backwardsHz = 10;

/**
 * The reach at the end of one more cell: by the counter where it carries on, else (over length) by speed and time, else unknown.
 * Only differences of the counter count, so that one that is reset or jumps does no harm. `lost` says that what was wound since the last position
 * can no longer be told: positions before and after do not belong together.
 */
export function reachAfter(reach: Reach, cell: Advance): { readonly reach: Reach; readonly lost: boolean } {
  const position = positionByCounter(reach, cell) ?? positionBySpeed(reach, cell);
  if (cell.count.kind === 'unknown') {
    const lost = position === null && reach.position !== null && reach.counter === null;
    return { reach: { ...reach, position }, lost };
  }
  const lost = position === null && (reach.position !== null || reach.counter !== null);
  const here = position ?? cell.count.value;
  const counter = { value: cell.count.value, position: here, atMs: cell.atMs };
  return { reach: { position: here, counter }, lost };
}

function positionByCounter({ counter }: Reach, cell: Advance): number | null {
  if (counter === null || cell.count.kind === 'unknown') return null;
  const sinceS = (cell.atMs - counter.atMs) / 1000;
  const change = cell.count.value - counter.value;
  return change < least(cell, sinceS) || change > most(cell, sinceS) ? null : counter.position + change;
}

/** One more each way: counters count in whole metres or wraps. */
function least({ over }: Advance, sinceS: number): number {
  return -1 - (over === 'length' ? backwardsMPerS : backwardsHz) * sinceS;
}

function most({ over, speedMPerS: speed }: Advance, sinceS: number): number {
  if (over === 'wraps') return 1 + fastestHz * sinceS;
  if (speed.kind === 'unknown' || sinceS > speedBoundsS) return 1 + fastestMPerS * sinceS;
  // Half as much again and 5 m: the speed may have fallen within the cell.
  return 6 + 1.5 * Math.abs(speed.value) * sinceS;
}

function positionBySpeed({ position, counter }: Reach, cell: Advance): number | null {
  if (cell.over === 'wraps' || cell.speedMPerS.kind === 'unknown' || cell.durationS > speedHoldsS)
    return null;
  const neverCounted = counter === null && cell.count.kind === 'unknown';
  const from = position ?? (neverCounted ? 0 : null);
  return from === null ? null : from + cell.speedMPerS.value * cell.durationS;
}
