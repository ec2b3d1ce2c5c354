import { type GaugeBox, type GaugeData, boreDiameter, leftFor } from '../drawing/gauge-scale.js';

/** Units of the drawing: its text is 36 of them high. */
export const textUnits = 36;
/** Narrower than this, in those units, the number stands above the drawing and the chances at the end below. */
const wideUnits = 1100;
/** Room left of the core for the number, and right of the end for the chance at the end. */
const numberUnits = 236;
const endUnits = 190;

/** Pixels of the drawing and of one unit. */
export interface Paper {
  readonly width: number;
  readonly unit: number;
}

export function isWide({ width, unit }: Paper): boolean {
  return width / unit >= wideUnits;
}

export function boxFor(data: GaugeData, paper: Paper, size: number): GaugeBox {
  const { width, unit: p } = paper;
  const right = isWide(paper) ? endUnits * p : 2;
  return {
    width,
    left: leftOf(data, paper, right),
    right,
    top: size * 1.45,
    plot: Math.max(132 * p, 84),
    body: Math.max(50 * p, 26),
    column: 3,
  };
}

/** True proportion from the centre line on, unless the bore has no room for the number, or takes far more than it needs. */
function leftOf(data: GaugeData, paper: Paper, right: number): number {
  const { width, unit: p } = paper;
  const bore = boreDiameter(data);
  const need = isWide(paper) ? numberUnits * p : 12;
  const most = isWide(paper) ? 1.5 * need : 0.3 * width;
  const natural = ((width - right) * bore) / data.fullM;
  const least = isWide(paper) ? need : 0;
  return natural >= least && natural <= most ? 0 : leftFor(need, bore, data.fullM, width, right);
}
