import { exponential, PI } from '../math/portable-math.js';
import type { Air, Grade } from '../scenario/scenario-schema.js';
import { gapM, gapOnPeaksM, peakPressurePa } from './gap.js';
import type { Wrap } from './wrap.js';

/** What acts on the outer wraps at one moment. */
export interface StackLoad {
  readonly tensionNPerM: number;
  readonly radiusM: number;
  readonly widthM: number;
  readonly grade: Grade;
  readonly air: Air;
  /** Angle at which the web arrives, and the largest that its wandering brings (three standard deviations). */
  readonly skewRad: number;
  readonly utmostSkewRad: number;
  /** Where the web arrives, and the free length before it. */
  readonly pathM: number;
  readonly spanM: number;
}

/** Outer wraps, innermost first. */
export type Stack = readonly Wrap[];

/**
 * Lets the air out of the stack for a while and the wraps sink onto it.
 *
 * Pressure on a gap: `T/R` of every wrap above, each less by the share of its stretch that sinking has relaxed
 * (`E t sunk/(R T)`). Air leaves at the edges, `(1 + 0.6 p/pa) p h^3/(mu w^2)` (own derivation: an evenly thick gap, where
 * `pa p + p^2/2` is parabolic across the width), and through the k sheets above, `(1 + 0.5 p/pa) P p/k` (mean density);
 * both as thickness at ambient pressure. What is left follows Boyle. Exact decay towards the air that peaks
 * alone would enclose, so that no gap and no porous web asks for a shorter step.
 */
export function settle(
  stack: Stack,
  load: StackLoad,
  durationS: number,
): { readonly stack: Stack; readonly sunkM: number } {
  const pressures = pressuresPa(stack, load);
  let sunkM = 0;
  const next = stack.map((wrap, i) => {
    const pressurePa = pressures[i] as number;
    const airM = vented(wrap, pressurePa, stack.length - i, load, durationS);
    const gap = gapM(load.grade.peaks, { pressurePa, airM, ambientPa: load.air.ambientPa });
    sunkM += wrap.gapM - gap;
    return { ...wrap, airM: Math.max(airM, gap), gapM: gap, sunkM: wrap.sunkM + sunkM };
  });
  return {
    stack: next.map((wrap) => (wrap.wasFree || isHeld(wrap, load) ? wrap : { ...wrap, wasFree: true })),
    sunkM,
  };
}

/** Pressure on the gap under each wrap, Pa. */
function pressuresPa(stack: Stack, load: StackLoad): Float64Array {
  const stiffness = (load.grade.modulusPa * load.grade.caliperM) / load.radiusM;
  const pressures = new Float64Array(stack.length);
  let sum = 0;
  for (let i = stack.length - 1; i >= 0; i -= 1) {
    const left = Math.max(0, load.tensionNPerM - stiffness * (stack[i] as Wrap).sunkM);
    sum += left / load.radiusM;
    pressures[i] = sum;
  }
  return pressures;
}

function vented(wrap: Wrap, pressurePa: number, sheets: number, load: StackLoad, durationS: number): number {
  const { grade, air, widthM } = load;
  const least = gapOnPeaksM(grade.peaks, pressurePa);
  const excess = wrap.airM - least;
  const h = wrap.gapM;
  const over = air.ambientPa * (wrap.airM / h - 1);
  if (excess <= 0 || over <= 0) return wrap.airM;
  const ratio = over / air.ambientPa;
  const sideways = ((1 + 0.6 * ratio) * over * h * h * h) / (air.viscosityPaS * widthM * widthM);
  const through = ((1 + 0.5 * ratio) * grade.permeanceMPerPaS * over) / sheets;
  const lossMPerS = sideways + through;
  return least + excess * exponential(-(lossMPerS * durationS) / excess);
}

/** Whether friction on the peaks under a wrap can resist the utmost side force: `mu p_peaks >= T skew/(2 pi R)`. */
export function isHeld(wrap: Wrap, load: StackLoad): boolean {
  const friction = load.grade.friction * peakPressurePa(load.grade.peaks, wrap.gapM);
  return friction > 0 && friction >= sidePressurePa(load, load.utmostSkewRad);
}

/** Side force of a web that arrives at an angle, spread over one wrap: `T skew w / (2 pi R w)`. */
function sidePressurePa({ tensionNPerM, radiusM }: StackLoad, skewRad: number): number {
  return (tensionNPerM * Math.abs(skewRad)) / (2 * PI * radiusM);
}

/**
 * Lets the wraps slip sideways for a while.
 *
 * The web pulls the outer wrap towards the line on which it would arrive straight, `path + skew x span`; the pull passes
 * down through the stack. A gap gives way where the pull outweighs friction, and shears like oil: speed `tau h/mu`.
 * The pull falls off as the outer wrap follows, which is solved exactly.
 */
export function slip(stack: Stack, load: StackLoad, durationS: number): Stack {
  const top = stack[stack.length - 1];
  if (top === undefined) return stack;
  const away = load.pathM + load.skewRad * load.spanM - top.offsetM;
  const pullPerM = load.tensionNPerM / (2 * PI * load.radiusM * load.spanM);
  const pull = pullPerM * Math.abs(away);
  const frictions = stack.map((wrap) => load.grade.friction * peakPressurePa(load.grade.peaks, wrap.gapM));
  const gives = stack.map((wrap, i) => ((frictions[i] as number) < pull ? wrap.gapM : 0));
  const giving = gives.reduce((sum, gap) => sum + gap, 0);
  if (giving === 0) return stack;
  const meanFriction = gives.reduce((sum, gap, i) => sum + gap * (frictions[i] as number), 0) / giving;
  const follows = 1 - exponential((-pullPerM * giving * durationS) / load.air.viscosityPaS);
  const moveM = Math.sign(away) * ((pull - meanFriction) / pullPerM) * follows;
  let carriedM = 0;
  return stack.map((wrap, i) => {
    carriedM += (moveM * (gives[i] as number)) / giving;
    return carriedM === 0 ? wrap : { ...wrap, offsetM: wrap.offsetM + carriedM };
  });
}

/** Number of wraps that are free to move now. */
export function freeWraps(stack: Stack, load: StackLoad): number {
  return stack.reduce((count, wrap) => count + (isHeld(wrap, load) ? 0 : 1), 0);
}

/**
 * Gap under a wrap once it is buried, with the air that was under it: pressed together at once when the wrap is held for good
 * (in truth over the next wraps; bleeding off through the edges in hours is left out).
 */
export function buriedGapM(wrap: Wrap, load: StackLoad, pressurePa: number): number {
  return gapM(load.grade.peaks, { pressurePa, airM: wrap.airM, ambientPa: load.air.ambientPa });
}

/** The inner wraps that are held with at least one wrap above them (they stay where they are), and the rest. */
export function parted(stack: Stack, load: StackLoad): { readonly held: Stack; readonly rest: Stack } {
  let count = 0;
  while (count < stack.length - 1 && isHeld(stack[count] as Wrap, load)) count += 1;
  return { held: stack.slice(0, count), rest: stack.slice(count) };
}
