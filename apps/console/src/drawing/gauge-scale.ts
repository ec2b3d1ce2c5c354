import type { RiskAtDiameter } from '@edge-margin/monitoring';

/** What the gauge along the roll's radius shows; diameters in m. */
export interface GaugeData {
  readonly coreM: number;
  /** Last known diameter. */
  readonly nowM: number;
  /** False where `nowM` is not the present: no upright for now, no outlook, hatched from there on. */
  readonly live: boolean;
  readonly setEndM: number | null;
  readonly wound: readonly RiskAtDiameter[];
  readonly ahead: readonly RiskAtDiameter[];
  readonly after: readonly RiskAtDiameter[];
  readonly boundary: {
    readonly earliestM: number;
    readonly expectedM: number;
    readonly latestM: number | null;
  } | null;
  /** Diameter by which to act. */
  readonly byM: number | null;
  /** Diameter at the right end of the scale. */
  readonly fullM: number;
}

/**
 * Where the gauge is drawn, in pixels. The roll's centre line stands at `left`, `fullM` at `width - right`; a negative `left` cuts off the inner
 * part of a wide bore.
 */
export interface GaugeBox {
  readonly width: number;
  readonly left: number;
  readonly right: number;
  /** Top of the plot (chance 1), height of the plot, and height of the body strip below it. */
  readonly top: number;
  readonly plot: number;
  readonly body: number;
  /** Width of one column. */
  readonly column: number;
}

export interface Rect {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** Share of the core's diameter that is bore; the rest is the tube's wall, drawn no wider than a share of the whole scale. */
const boreShare = 0.86;
const widestWall = 0.02;

/** A diameter's place in the drawing. */
export type X = (diameterM: number) => number;

/** Inner diameter of the core as it is drawn. */
export function boreDiameter({ coreM, fullM }: Pick<GaugeData, 'coreM' | 'fullM'>): number {
  return Math.max(boreShare * coreM, coreM - widestWall * fullM);
}

/** Where the centre line has to stand so that `bore` comes to stand at `x`. */
export function leftFor(x: number, bore: number, fullM: number, width: number, right: number): number {
  const share = bore / fullM;
  return (x - (width - right) * share) / (1 - share);
}

export function scaleX(data: Pick<GaugeData, 'fullM'>, box: GaugeBox): X {
  const perM = (box.width - box.left - box.right) / data.fullM;
  return (diameterM) => tenth(box.left + Math.min(Math.max(diameterM, 0), data.fullM) * perM);
}

/** Tenths of a pixel are fine enough, and keep paths short. */
export function tenth(value: number): number {
  return Math.round(value * 10) / 10;
}
