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
  /** Pixels of height to do without, so that what stands below stays on the screen. */
  readonly squeeze: number;
}

/** The drawing stays readable at this height of its plot and of its body, in units. */
const leastUnits = { plot: 76, body: 28 } as const;

export function isWide({ width, unit }: Pick<Paper, 'width' | 'unit'>): boolean {
  return width / unit >= wideUnits;
}

export function boxFor(data: GaugeData, paper: Paper, size: number): GaugeBox {
  const { width, unit: p, squeeze } = paper;
  const right = isWide(paper) ? endUnits * p : 2;
  const [plot, body] = [Math.max(132 * p, 84), Math.max(50 * p, 26)];
  const fromPlot = Math.min(squeeze, plot - leastUnits.plot * p);
  return {
    width,
    left: leftOf(data, paper, right),
    right,
    top: size * 1.45,
    plot: plot - fromPlot,
    body: Math.max(body - (squeeze - fromPlot), leastUnits.body * p),
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
