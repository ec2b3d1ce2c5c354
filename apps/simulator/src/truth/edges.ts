import type { Pair } from '../winder/ends.js';
import type { Wrap } from '../winder/wrap.js';
import { edgesOf } from './bands.js';

/** What is kept about the edges of one roll. */
export interface EdgesState {
  /** Wraps whose place is final. */
  readonly wraps: number;
  /** Squares of the steps from wrap to wrap so far, tending and drive, of full bands. */
  readonly squares: Pair;
  readonly steps: number;
  readonly told: ToldEdges;
}

/** Every n-th wrap of the band that is being filled. */
export interface ToldEdges {
  readonly fromWrap: number;
  readonly radiusM: readonly number[];
  readonly tendingM: readonly number[];
  readonly driveM: readonly number[];
}

export const NO_EDGES: ToldEdges = { fromWrap: 0, radiusM: [], tendingM: [], driveM: [] };

/** Adds wraps whose place is final; every `everyWraps`-th (0: none) is told. */
export function addToEdges(start: EdgesState, wraps: readonly Wrap[], everyWraps: number): EdgesState {
  if (everyWraps === 0) return { ...start, wraps: start.wraps + wraps.length };
  const radiusM = [...start.told.radiusM];
  const tendingM = [...start.told.tendingM];
  const driveM = [...start.told.driveM];
  let { fromWrap } = start.told;
  wraps.forEach((wrap, i) => {
    const number = start.wraps + i + 1;
    if (number % everyWraps !== 0) return;
    if (radiusM.length === 0) fromWrap = number;
    const edges = edgesOf(wrap);
    radiusM.push(wrap.radiusM);
    tendingM.push(edges.tendingM);
    driveM.push(edges.driveM);
  });
  return { ...start, wraps: start.wraps + wraps.length, told: { fromWrap, radiusM, tendingM, driveM } };
}
