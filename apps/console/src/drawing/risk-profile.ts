import type { RiskAtDiameter } from '@edge-margin/monitoring';
import { clampChance } from './tint.js';

/** One stretch of the record or outlook without gaps, in order of diameter. */
export type Stretch = readonly RiskAtDiameter[];

/** Points that can be drawn: finite, chance within 0 to 1, in order of diameter. */
function drawable(points: readonly RiskAtDiameter[]): Stretch {
  return points
    .filter((point) => Number.isFinite(point.diameterM) && !Number.isNaN(point.risk))
    .map((point) => ({ diameterM: point.diameterM, risk: clampChance(point.risk) }))
    .sort((a, b) => a.diameterM - b.diameterM);
}

/** A step this many times the usual step is a gap: nothing was known there, and nothing is drawn across it. */
const gapSteps = 8;
/** Nor is a step narrower than this share of the whole a gap, however dense the rest. */
const gapShare = 0.02;

/**
 * The record between two diameters, split where it has gaps. Its first and last value are carried to the ends where these lie no further off than a
 * gap; `spanM` is the width of the whole drawing in diameter.
 */
export function stretches(
  points: readonly RiskAtDiameter[],
  fromM: number,
  toM: number,
  spanM: number,
): readonly Stretch[] {
  const within = drawable(points).filter((point) => point.diameterM >= fromM && point.diameterM <= toM);
  const widest = Math.max(gapSteps * usualStep(within), gapShare * spanM);
  return split(carriedToEnds(within, fromM, toM, widest), widest);
}

function carriedToEnds(within: Stretch, fromM: number, toM: number, widest: number): Stretch {
  const first = within[0];
  const last = within.at(-1);
  if (first === undefined || last === undefined) return within;
  const head =
    first.diameterM > fromM && first.diameterM - fromM <= widest ? [{ ...first, diameterM: fromM }] : [];
  const tail = last.diameterM < toM && toM - last.diameterM <= widest ? [{ ...last, diameterM: toM }] : [];
  return [...head, ...within, ...tail];
}

function split(sorted: Stretch, widest: number): readonly Stretch[] {
  const found: RiskAtDiameter[][] = [];
  sorted.forEach((point, at) => {
    const before = sorted[at - 1];
    if (before === undefined || point.diameterM - before.diameterM > widest) found.push([]);
    found.at(-1)?.push(point);
  });
  return found;
}

function usualStep(sorted: Stretch): number {
  const steps = sorted
    .slice(1)
    .map((point, at) => point.diameterM - (sorted[at]?.diameterM ?? point.diameterM));
  return steps.sort((a, b) => a - b)[Math.floor(steps.length / 2)] ?? 0;
}

/** Highest chance within `[fromM, toM]`; between the points it is interpolated. Null outside the stretch. */
export function highestWithin(stretch: Stretch, fromM: number, toM: number): number | null {
  const first = stretch[0];
  const last = stretch.at(-1);
  if (first === undefined || last === undefined || toM < first.diameterM || fromM > last.diameterM)
    return null;
  const inside = stretch.filter((point) => point.diameterM >= fromM && point.diameterM <= toM);
  if (inside.length > 0) return Math.max(...inside.map((point) => point.risk));
  return interpolated(stretch, (fromM + toM) / 2);
}

/** Linear between the points, the nearer end outside; 0 for an empty stretch. */
export function interpolated(stretch: Stretch, diameterM: number): number {
  const above = stretch.findIndex((point) => point.diameterM >= diameterM);
  const b = stretch[above === -1 ? stretch.length - 1 : above];
  const a = stretch[above - 1] ?? b;
  if (a === undefined || b === undefined) return 0;
  const width = b.diameterM - a.diameterM;
  return width === 0 ? b.risk : a.risk + ((b.risk - a.risk) * (diameterM - a.diameterM)) / width;
}
