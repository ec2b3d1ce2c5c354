import type { Pair } from './ends.js';
import type { NipMechanics } from './nip-mechanics.js';

/** Where the roller's two points are, away from the roll positive; 0: they touch an unloaded round roll. */
export interface RollerState {
  readonly positionM: Pair;
  readonly velocityMPerS: Pair;
}

/** How the surface under the two points moves, on half time steps: 2 n + 1 values for n steps. Away from the roll's axis positive. */
export interface SurfaceMotion {
  readonly positionM: readonly [Float64Array, Float64Array];
  readonly velocityMPerS: readonly [Float64Array, Float64Array];
}

/** Contact force, indentation (negative: gap) and acceleration (away from the roll positive) of the two points at the end of each step. */
export interface RollerTrace {
  readonly loadN: readonly [Float64Array, Float64Array];
  readonly pressedM: readonly [Float64Array, Float64Array];
  readonly accelerationMPerS2: readonly [Float64Array, Float64Array];
}

export interface RollerRun {
  readonly mechanics: NipMechanics;
  readonly surface: SurfaceMotion;
  /** Closing force on each point at the first and at the last moment; linear between. */
  readonly closingN: { readonly from: Pair; readonly to: Pair };
  readonly timeStepS: number;
  /** Further force on each point on half steps, 2 n + 1 values, away from the roll positive. */
  readonly pushN?: readonly [Float64Array, Float64Array];
  /** Coulomb friction of the guides at each end, N; 0 or left out: none. */
  readonly guideFrictionN?: number;
}

/**
 * Moves the roller through n steps: `M a = N - F`, `N = max(0, k d + c d')` with d = surface minus roller, N = 0 where d <= 0.
 * The contact never pulls, so the roller leaves the roll when the inertia force outweighs the closing force.
 * Classical Runge-Kutta of fourth order; order two across a loss of contact.
 */
export function moveRoller(
  run: RollerRun,
  start: RollerState,
): { readonly state: RollerState; readonly trace: RollerTrace } {
  const steps = (run.surface.positionM[0].length - 1) / 2;
  const trace: RollerTrace = {
    loadN: [new Float64Array(steps), new Float64Array(steps)],
    pressedM: [new Float64Array(steps), new Float64Array(steps)],
    accelerationMPerS2: [new Float64Array(steps), new Float64Array(steps)],
  };
  const now = Float64Array.of(...start.positionM, ...start.velocityMPerS);
  const force = new Float64Array(4); // accelerations of the two points, then contact forces
  const slopes = [
    new Float64Array(4),
    new Float64Array(4),
    new Float64Array(4),
    new Float64Array(4),
  ] as const;
  const tried = new Float64Array(4);
  for (let step = 0; step < steps; step += 1) {
    rungeKuttaStep(run, step, steps, { now, tried, slopes, force });
    forces(run, 2 * step + 2, (step + 1) / steps, now, force);
    for (const end of [0, 1] as const) {
      trace.accelerationMPerS2[end][step] = force[end] as number;
      trace.loadN[end][step] = force[2 + end] as number;
      trace.pressedM[end][step] = (run.surface.positionM[end][2 * step + 2] as number) - (now[end] as number);
    }
  }
  return {
    state: {
      positionM: [now[0] as number, now[1] as number],
      velocityMPerS: [now[2] as number, now[3] as number],
    },
    trace,
  };
}

interface Scratch {
  readonly now: Float64Array;
  readonly tried: Float64Array;
  readonly slopes: readonly [Float64Array, Float64Array, Float64Array, Float64Array];
  readonly force: Float64Array;
}

function rungeKuttaStep(
  run: RollerRun,
  step: number,
  steps: number,
  { now, tried, slopes, force }: Scratch,
): void {
  const h = run.timeStepS;
  const [k1, k2, k3, k4] = slopes;
  slope(run, 2 * step, step / steps, now, force, k1);
  moved(now, k1, h / 2, tried);
  slope(run, 2 * step + 1, (step + 0.5) / steps, tried, force, k2);
  moved(now, k2, h / 2, tried);
  slope(run, 2 * step + 1, (step + 0.5) / steps, tried, force, k3);
  moved(now, k3, h, tried);
  slope(run, 2 * step + 2, (step + 1) / steps, tried, force, k4);
  for (let i = 0; i < 4; i += 1) {
    const sum = (k1[i] as number) + 2 * (k2[i] as number) + 2 * (k3[i] as number) + (k4[i] as number);
    now[i] = (now[i] as number) + (h / 6) * sum;
  }
}

function slope(
  run: RollerRun,
  half: number,
  share: number,
  at: Float64Array,
  force: Float64Array,
  into: Float64Array,
): void {
  forces(run, half, share, at, force);
  into[0] = at[2] as number;
  into[1] = at[3] as number;
  into[2] = force[0] as number;
  into[3] = force[1] as number;
}

/** Accelerations and contact forces of the two points at half step `half`, at `share` of the run. */
function forces(
  { mechanics: m, surface, closingN, pushN, guideFrictionN, timeStepS }: RollerRun,
  half: number,
  share: number,
  at: Float64Array,
  into: Float64Array,
): void {
  for (const end of [0, 1] as const) {
    const pressed = (surface.positionM[end][half] as number) - (at[end] as number);
    const rate = (surface.velocityMPerS[end][half] as number) - (at[2 + end] as number);
    into[2 + end] = pressed > 0 ? Math.max(0, m.stiffnessNPerM * pressed + m.dampingNSPerM * rate) : 0;
  }
  let net0 = (into[2] as number) - closingN.from[0] * (1 - share) - closingN.to[0] * share;
  let net1 = (into[3] as number) - closingN.from[1] * (1 - share) - closingN.to[1] * share;
  if (pushN !== undefined) {
    net0 += pushN[0][half] as number;
    net1 += pushN[1][half] as number;
  }
  if (guideFrictionN !== undefined && guideFrictionN > 0) {
    const creep = creepSpeedMPerS(m, guideFrictionN, timeStepS);
    net0 -= frictionN(guideFrictionN, at[2] as number, creep);
    net1 -= frictionN(guideFrictionN, at[3] as number, creep);
  }
  into[0] = m.own * net0 + m.other * net1;
  into[1] = m.own * net1 + m.other * net0;
}

/** Coulomb friction, smoothed where the sliding turns round: `F v/sqrt(v^2 + creep^2)`. */
function frictionN(forceN: number, velocityMPerS: number, creepMPerS: number): number {
  return (forceN * velocityMPerS) / Math.sqrt(velocityMPerS * velocityMPerS + creepMPerS * creepMPerS);
}

/** Creep below which a stuck guide still gives: as small as the time step can follow. */
function creepSpeedMPerS(m: NipMechanics, forceN: number, timeStepS: number): number {
  return forceN * (Math.abs(m.own) + Math.abs(m.other)) * timeStepS;
}

function moved(from: Float64Array, by: Float64Array, h: number, into: Float64Array): void {
  for (let i = 0; i < 4; i += 1) into[i] = (from[i] as number) + h * (by[i] as number);
}

/** The roller resting on a still round roll under these closing forces. */
export function resting(mechanics: NipMechanics, closingN: Pair): RollerState {
  return {
    positionM: [-closingN[0] / mechanics.stiffnessNPerM, -closingN[1] / mechanics.stiffnessNPerM],
    velocityMPerS: [0, 0],
  };
}
