/**
 * A winding roll's outer wraps, wrap by wrap and in small steps of time: an independent check of the closed form for venting.
 *
 * Every gap holds a mass of air. Each wrap adds T/R of pressure. Air leaves a gap at the edges (flat strip, parabolic pressure, mean density) and through the
 * sheets: sheet j passes `P (p_j - p_(j-1))` from gap j to gap j - 1, and what enters a gap from below counts. A gap that has sunk to the boundary film is closed: its
 * faces touch and carry the rest, and nothing flows through the sheet above it. Each turn of the roll lays a new wrap.
 */
export interface Stack {
  readonly laidFilmM: number;
  readonly boundaryFilmM: number;
  readonly widthM: number;
  readonly radiusM: number;
  readonly tensionNPerM: number;
  readonly speedMPerS: number;
  readonly permeanceMPerPaS: number;
  readonly viscosityPaS: number;
  readonly ambientPa: number;
}

/** Number of floating wraps, averaged over the last tenth of the turns wound. */
export function floatingWrapsByStep(stack: Stack, turns: number, stepsPerTurn: number): number {
  const wrapPa = stack.tensionNPerM / stack.radiusM;
  const stepS = (2 * Math.PI * stack.radiusM) / stack.speedMPerS / stepsPerTurn;
  // Mass as film x absolute pressure, outermost gap first. Films are quoted at the pressure of three wraps, as the library does.
  let gaps: number[] = [];
  let counted = 0;
  let samples = 0;
  for (let turn = 0; turn < turns; turn += 1) {
    gaps = [stack.laidFilmM * (stack.ambientPa + 3 * wrapPa), ...gaps];
    for (let step = 0; step < stepsPerTurn; step += 1) {
      gaps = floating(stack, wrapPa, gaps);
      gaps = gaps.map((mass, index) => afterStep(stack, wrapPa, gaps.length, mass, index, stepS));
      if (turn < 0.9 * turns) continue;
      counted += floating(stack, wrapPa, gaps).length;
      samples += 1;
    }
  }
  return counted / samples;
}

/** The outer gaps that are still above the boundary film, without interruption. */
function floating(stack: Stack, wrapPa: number, gaps: readonly number[]): number[] {
  const closed = gaps.findIndex(
    (mass, index) => mass <= stack.boundaryFilmM * (stack.ambientPa + Math.max(3, index + 1) * wrapPa),
  );
  return closed < 0 ? [...gaps] : gaps.slice(0, closed);
}

/** Edges exactly (the inverse square of the film rises evenly in time), then the sheets. */
function afterStep(
  stack: Stack,
  wrapPa: number,
  count: number,
  mass: number,
  index: number,
  stepS: number,
): number {
  const pressurePa = (index + 1) * wrapPa;
  const totalPa = stack.ambientPa + pressurePa;
  const filmM = mass / totalPa;
  const meanDensityRatio = (stack.ambientPa + pressurePa / 2) / totalPa;
  const rise = (2 * pressurePa * meanDensityRatio * stepS) / (stack.viscosityPaS * stack.widthM ** 2);
  const upwards = stack.permeanceMPerPaS * wrapPa;
  const fromBelow = index + 1 < count ? upwards : 0;
  return totalPa * (filmM / Math.sqrt(1 + rise * filmM ** 2) - (upwards - fromBelow) * stepS);
}
