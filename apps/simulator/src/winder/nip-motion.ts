import type { Nip } from '../scenario/scenario-schema.js';
import type { Pair } from './ends.js';
import { nipMechanics } from './nip-mechanics.js';
import { moveRoller, resting, type RollerState, type RollerTrace } from './roller-motion.js';
import type { Stretch } from './stretch.js';
import { surfaceMotion } from './surface-motion.js';
import { advanceSurfaceNoise, type SurfaceNoiseState } from './surface-noise.js';

/** The nip between two sample periods. */
export interface NipState {
  /** Share of the planned closing force that is on: 0 open, 1 closed. */
  readonly closedRatio: number;
  readonly closingN: Pair;
  /** null: not on the roll yet. */
  readonly roller: RollerState | null;
  readonly noise: SurfaceNoiseState;
}

/** What the nip did during one sample period, per end. */
export interface NipPeriod {
  readonly trace: RollerTrace;
  readonly closingN: Pair;
  readonly steps: number;
}

const CLOSING_S = 1;

/** Closing or opening: opens at once, closes evenly within a second. */
export function closedRatioAfter(from: number, isClosed: boolean, durationS: number): number {
  return isClosed ? Math.min(1, from + durationS / CLOSING_S) : 0;
}

/** Moves the closed nip through a stretch, under a closing force that changes evenly to `closingN`. */
export function moveNip(
  nip: Nip,
  widthM: number,
  state: NipState,
  at: {
    readonly stretch: Stretch;
    readonly closingN: Pair;
    readonly closedRatio: number;
    readonly timeStepS: number;
  },
): { readonly state: NipState; readonly period: NipPeriod } {
  const steps = Math.round(at.stretch.durationS / at.timeStepS);
  const mechanics = nipMechanics(nip, widthM);
  const { state: noiseState, noise } = advanceSurfaceNoise(
    state.noise,
    nip.surfaceNoise,
    steps,
    at.timeStepS,
  );
  const surface = surfaceMotion(nip.excitation, at.stretch, steps, noise);
  const start = state.roller ?? landed(mechanics, surface.positionM, at.closingN);
  const from = state.roller === null ? at.closingN : state.closingN;
  const moved = moveRoller(
    { mechanics, surface, closingN: { from, to: at.closingN }, timeStepS: at.timeStepS },
    start,
  );
  return {
    state: { closedRatio: at.closedRatio, closingN: at.closingN, roller: moved.state, noise: noiseState },
    period: { trace: moved.trace, closingN: at.closingN, steps },
  };
}

/** A roller that has come down softly on the surface as it now stands. */
function landed(
  mechanics: Parameters<typeof resting>[0],
  surface: readonly [Float64Array, Float64Array],
  closingN: Pair,
): RollerState {
  const rest = resting(mechanics, closingN);
  const at = (end: 0 | 1): number => rest.positionM[end] + (surface[end][0] as number);
  return { positionM: [at(0), at(1)], velocityMPerS: [0, 0] };
}
