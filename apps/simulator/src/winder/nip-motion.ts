import type { Nip } from '../scenario/scenario-schema.js';
import type { Pair } from './ends.js';
import { nipMechanics, type NipMechanics } from './nip-mechanics.js';
import { addPrint, printed, type PrintState, type Turned } from './print.js';
import { moveRoller, resting, type RollerRun, type RollerState, type RollerTrace } from './roller-motion.js';
import type { Stretch } from './stretch.js';
import { surfaceMotion } from './surface-motion.js';
import { advanceSurfaceNoise, type SurfaceNoiseState } from './surface-noise.js';
import { unbalancePushN } from './unbalance.js';
import type { WaveState } from './wave-block.js';

/** The nip between two sample periods. */
export interface NipState {
  /** Share of the planned closing force that is on: 0 open, 1 closed. */
  readonly closedRatio: number;
  readonly closingN: Pair;
  /** null: not on the roll yet. */
  readonly roller: RollerState | null;
  readonly noise: SurfaceNoiseState;
  /** What stands in the roll's face; left out where nothing prints. */
  readonly print?: PrintState;
  /** Left out where no wave forms are sent. */
  readonly wave?: WaveState;
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
  const mechanics = nipMechanics(nip, widthM);
  if (nip.dynamics === 'still') return stillNip(mechanics, state, at);
  const steps = Math.round(at.stretch.durationS / at.timeStepS);
  const { state: noiseState, noise } = advanceSurfaceNoise(
    state.noise,
    nip.surfaceNoise,
    steps,
    at.timeStepS,
  );
  const surface = surfaceMotion(nip.excitation, at.stretch, steps, noise);
  const start = state.roller ?? landed(mechanics, surface.positionM, at.closingN);
  const from = state.roller === null ? at.closingN : state.closingN;
  const pushN = unbalancePushN(nip, at.stretch, steps);
  const run: RollerRun = {
    mechanics,
    surface,
    closingN: { from, to: at.closingN },
    timeStepS: at.timeStepS,
    ...(pushN === null ? {} : { pushN }),
    ...(nip.guideFrictionN > 0 ? { guideFrictionN: nip.guideFrictionN } : {}),
  };
  const moved =
    state.print === undefined
      ? { ...moveRoller(run, start), print: undefined }
      : moveOverPrint(nip, run, start, state.print, at.stretch);
  return {
    state: {
      ...state,
      closedRatio: at.closedRatio,
      closingN: at.closingN,
      roller: moved.state,
      noise: noiseState,
      ...(moved.print === undefined ? {} : { print: moved.print }),
    },
    period: { trace: moved.trace, closingN: at.closingN, steps },
  };
}

/** A nip that follows the roll as if it had no mass: the load is the closing force. */
function stillNip(
  mechanics: NipMechanics,
  state: NipState,
  { closingN, closedRatio }: { readonly closingN: Pair; readonly closedRatio: number },
): { readonly state: NipState; readonly period: NipPeriod } {
  const one = (value: number): Float64Array => Float64Array.of(value);
  const [tending, drive] = resting(mechanics, closingN).positionM;
  const trace: RollerTrace = {
    loadN: [one(closingN[0]), one(closingN[1])],
    pressedM: [one(-tending), one(-drive)],
    accelerationMPerS2: [one(0), one(0)],
  };
  return {
    state: { ...state, closedRatio, closingN, roller: resting(mechanics, closingN) },
    period: { trace, closingN, steps: 1 },
  };
}

const MOST_TURNED = 0.4; // of a turn in one go: what is printed must be there when it comes round

/** Moves the roller piece by piece, so that it meets what it printed one turn before. */
function moveOverPrint(
  nip: Nip,
  run: RollerRun,
  start: RollerState,
  before: PrintState,
  stretch: Stretch,
): { readonly state: RollerState; readonly trace: RollerTrace; readonly print: PrintState } {
  const steps = (run.surface.positionM[0].length - 1) / 2;
  const turned = stretch.turns.to - stretch.turns.from;
  const pieces = Math.min(steps, Math.max(1, Math.ceil(turned / MOST_TURNED)));
  const loadN = [new Float64Array(steps), new Float64Array(steps)] as const;
  const pressedM = [new Float64Array(steps), new Float64Array(steps)] as const;
  const accelerationMPerS2 = [new Float64Array(steps), new Float64Array(steps)] as const;
  let state = start;
  let print = before;
  for (let piece = 0; piece < pieces; piece += 1) {
    const first = Math.floor((piece * steps) / pieces);
    const end = Math.floor(((piece + 1) * steps) / pieces);
    const passed: Turned = {
      fromTurns: stretch.turns.from + (first / steps) * turned,
      toTurns: stretch.turns.from + (end / steps) * turned,
      durationS: (end - first) * run.timeStepS,
    };
    const part = partOf(run, first, end, steps);
    addPrint(print, part.surface, passed);
    const moved = moveRoller(part, state);
    for (const side of [0, 1] as const) {
      loadN[side].set(moved.trace.loadN[side], first);
      pressedM[side].set(moved.trace.pressedM[side], first);
      accelerationMPerS2[side].set(moved.trace.accelerationMPerS2[side], first);
    }
    state = moved.state;
    print = printed(print, nip, passed, {
      trace: moved.trace,
      closingN: part.closingN.to,
      stiffnessNPerM: run.mechanics.stiffnessNPerM,
    });
  }
  return { state, trace: { loadN, pressedM, accelerationMPerS2 }, print };
}

/** Steps `first` to `end` of a run, with surfaces of their own. */
function partOf(run: RollerRun, first: number, end: number, steps: number): RollerRun {
  const halves = (values: Float64Array): Float64Array => values.slice(2 * first, 2 * end + 1);
  const both = (values: readonly [Float64Array, Float64Array]): [Float64Array, Float64Array] => [
    halves(values[0]),
    halves(values[1]),
  ];
  const closing = (step: number): Pair => {
    const share = step / steps;
    const { from, to } = run.closingN;
    return [from[0] * (1 - share) + to[0] * share, from[1] * (1 - share) + to[1] * share];
  };
  return {
    ...run,
    surface: { positionM: both(run.surface.positionM), velocityMPerS: both(run.surface.velocityMPerS) },
    closingN: { from: closing(first), to: closing(end) },
    ...(run.pushN === undefined ? {} : { pushN: both(run.pushN) }),
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
