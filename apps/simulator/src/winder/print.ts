import type { Nip } from '../scenario/scenario-schema.js';
import type { RollerTrace, SurfaceMotion } from './roller-motion.js';

/** What the nip has printed into the roll's face, by angle, at each end: height above round, m. */
export type PrintState = readonly [tending: readonly number[], drive: readonly number[]];

const BINS = 512; // round the roll; 3 mm of arc at 0.5 m, about the width of a contact
const SPLICE_KEPT = 0.97; // of a splice's bump is left one wrap further out
const BUMP_BINS = 6;

export const SMOOTH: PrintState = [new Array<number>(BINS).fill(0), new Array<number>(BINS).fill(0)];

/** Where the roll stands during some steps: turns, even in time. */
export interface Turned {
  readonly fromTurns: number;
  readonly toTurns: number;
  readonly durationS: number;
}

/** Adds the print that comes round again to the surface (2 n + 1 values on half steps). */
export function addPrint(
  print: PrintState,
  surface: SurfaceMotion,
  { fromTurns, toTurns, durationS }: Turned,
): void {
  const halves = surface.positionM[0].length - 1;
  const binsPerS = ((toTurns - fromTurns) * BINS) / durationS;
  for (const end of [0, 1] as const) {
    const bins = print[end];
    for (let half = 0; half <= halves; half += 1) {
      const at = (fromTurns + (half / halves) * (toTurns - fromTurns)) * BINS;
      const left = Math.floor(at);
      const before = bins[left % BINS] as number;
      const after = bins[(left + 1) % BINS] as number;
      surface.positionM[end][half] =
        (surface.positionM[end][half] as number) + before + (at - left) * (after - before);
      surface.velocityMPerS[end][half] =
        (surface.velocityMPerS[end][half] as number) + (after - before) * binsPerS;
    }
  }
}

/**
 * The print after the roller has gone over it: `new = memory x old - imprint x (d - F/k)` for every angle passed, with d the
 * indentation (nothing where contact is lost), no deeper than the limit. Without self-excitation only bumps of splices are there, and they are buried wrap by wrap.
 */
export function printed(
  print: PrintState,
  nip: Nip,
  passed: Turned,
  over: {
    readonly trace: RollerTrace;
    readonly closingN: readonly [number, number];
    readonly stiffnessNPerM: number;
  },
): PrintState {
  const { imprintRatio = 0, memoryRatio = SPLICE_KEPT, limitM = 1 } = nip.selfExcited ?? {};
  const first = Math.floor(passed.fromTurns * BINS) + 1;
  const last = Math.floor(passed.toTurns * BINS);
  const binsPassed = (passed.toTurns - passed.fromTurns) * BINS;
  const next: [number[], number[]] = [[...print[0]], [...print[1]]];
  const steps = over.trace.loadN[0].length;
  for (const end of [0, 1] as const) {
    for (let bin = first; bin <= last; bin += 1) {
      const share = (bin - passed.fromTurns * BINS) / binsPassed;
      const step = Math.min(steps - 1, Math.floor(share * steps));
      const excessM =
        Math.max(0, over.trace.pressedM[end][step] as number) - over.closingN[end] / over.stiffnessNPerM;
      const kept = memoryRatio * (next[end][bin % BINS] as number) - imprintRatio * excessM;
      next[end][bin % BINS] = Math.min(limitM, Math.max(-limitM, kept));
    }
  }
  return next;
}

/** A splice makes a bump where the roll now takes it up. */
export function withBump(print: PrintState, turns: number, thicknessM: number): PrintState {
  const next: [number[], number[]] = [[...print[0]], [...print[1]]];
  const at = Math.floor(turns * BINS);
  for (let i = 0; i < BUMP_BINS; i += 1)
    for (const end of [0, 1] as const) {
      const bin = (at + i) % BINS;
      next[end][bin] = (next[end][bin] as number) + thicknessM;
    }
  return next;
}

/** Half of the difference between highest and lowest place, per end. */
export function printDepthM(print: PrintState): readonly [number, number] {
  const depth = (bins: readonly number[]): number => (Math.max(...bins) - Math.min(...bins)) / 2;
  return [depth(print[0]), depth(print[1])];
}
