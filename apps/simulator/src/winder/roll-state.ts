import { EMPTY_BAND, type BandState } from '../truth/bands.js';
import { NOT_PASSED, type BoundaryState } from '../truth/boundary.js';
import type { Crossing } from '../truth/truth-record.js';
import type { Stack } from './stack.js';

/** One winding roll. */
export interface RollState {
  readonly number: number;
  readonly startedAtMs: number;
  /** Surface of the outermost whole wrap, sinking included. */
  readonly radiusM: number;
  /** Turns since the core; its whole part counts the wraps. */
  readonly turns: number;
  readonly lengthM: number;
  /** What the last buried wrap added to the radius: caliper and pressed gap. */
  readonly layerM: number;
  /** Outer wraps that may still move. */
  readonly stack: Stack;
  readonly band: BandState;
  readonly roughBands: readonly { readonly innerRadiusM: number; readonly outerRadiusM: number }[];
  readonly boundary: BoundaryState;
  readonly contactLost: { readonly first: Crossing | null; readonly totalS: number };
  /** Off the winder; the new core is not in place yet. */
  readonly isFinished: boolean;
}

export function rollOnCore(at: {
  readonly number: number;
  readonly startedAtMs: number;
  readonly radiusM: number;
  readonly turns: number;
  readonly layerM: number;
}): RollState {
  return {
    ...at,
    lengthM: 0,
    stack: [],
    band: EMPTY_BAND,
    roughBands: [],
    boundary: NOT_PASSED,
    contactLost: { first: null, totalS: 0 },
    isFinished: false,
  };
}
