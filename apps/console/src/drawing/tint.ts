/** Risk is ink: one ramp of lightness without hue, in this many steps, so that neighbouring columns of one tint are drawn as one shape. */
export const tintSteps = 20;

/** Step 0 (bare web) to `tintSteps` (full ink); a chance outside 0 to 1 takes the nearer end. */
export function tintStep(chance: number): number {
  return Math.round(clampChance(chance) * tintSteps);
}

/** The ink of a step as a CSS colour; mixed in OKLab, where equal steps look equally far apart. */
export function tintInk(step: number): string {
  return `color-mix(in oklab, var(--risk-1) ${(100 * step) / tintSteps}%, var(--risk-0))`;
}

/** 0 for a chance that is no number: the caller draws no shape there. */
export function clampChance(chance: number): number {
  return Number.isNaN(chance) ? 0 : Math.min(1, Math.max(0, chance));
}
