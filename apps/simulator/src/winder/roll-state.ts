import { EMPTY_BAND, type BandState } from '../truth/bands.js';
import { NOT_PASSED, type BoundaryState } from '../truth/boundary.js';
import { type EdgesState, NO_EDGES } from '../truth/edges.js';
import { NO_RINGS, type RingWatch } from '../truth/ring-watch.js';
import type { Crossing, RollEvent } from '../truth/truth-record.js';
import type { StripPlan } from './strip-plan.js';
import type { Stack } from './stack.js';

/** One of the rolls side by side that a station winds on one shaft. */
export interface StripRoll {
  readonly radiusM: number;
  /** What the last buried wrap added to the radius: caliper and pressed gap. */
  readonly layerM: number;
  /** Outer wraps that may still move. */
  readonly stack: Stack;
  readonly band: BandState;
  readonly edges: EdgesState;
  readonly roughBands: readonly { readonly innerRadiusM: number; readonly outerRadiusM: number }[];
  readonly boundary: BoundaryState;
  /** How far each caliper lane stands above the mean of the strip. */
  readonly laneHeightsM: readonly number[];
  /** How much the radius shrinks when all the air has bled off. */
  readonly airM: number;
}

/** What a station winds: one roll, or several side by side. */
export interface RollState {
  readonly number: number;
  readonly startedAtMs: number;
  /** Surface of the outermost whole wrap, sinking included; mean of the strips. */
  readonly radiusM: number;
  /** Turns since the core; its whole part counts the wraps. */
  readonly turns: number;
  readonly lengthM: number;
  /** What a wrap last added to the radius, mean of the strips. */
  readonly layerM: number;
  readonly strips: readonly StripRoll[];
  readonly rings: RingWatch;
  readonly events: readonly RollEvent[];
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
  readonly strips: readonly StripPlan[];
}): RollState {
  const { strips, ...start } = at;
  return {
    ...start,
    lengthM: 0,
    strips: strips.map((plan) => ({
      radiusM: at.radiusM,
      layerM: at.layerM,
      stack: [],
      band: EMPTY_BAND,
      edges: { wraps: Math.floor(at.turns), squares: [0, 0], steps: 0, told: NO_EDGES },
      roughBands: [],
      boundary: NOT_PASSED,
      laneHeightsM: plan.lanes.map(() => 0),
      airM: 0,
    })),
    rings: NO_RINGS,
    events: [],
    contactLost: { first: null, totalS: 0 },
    isFinished: false,
  };
}
