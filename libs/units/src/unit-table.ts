/** What a unit measures. Units of one dimension convert into each other. */
export type Dimension =
  | 'length'
  | 'speed'
  | 'acceleration'
  | 'frequency'
  | 'force'
  | 'force per width'
  | 'pressure'
  | 'mass'
  | 'mass per area'
  | 'permeance'
  | 'time'
  | 'temperature'
  | 'ratio';

/**
 * One unit: `SI value = (number + offset) x numerator / denominator`.
 * The factor is kept as a fraction of whole numbers, so that whole results come out whole: 1200 m/min is 1200 x 1 / 60.
 */
export interface Unit {
  /** UCUM code, case sensitive. */
  readonly code: string;
  readonly dimension: Dimension;
  readonly numerator: number;
  readonly denominator: number;
  /** Added to the number before the factor; 0 but for temperatures whose zero is not absolute zero. */
  readonly offset: number;
}

type Row = readonly [code: string, numerator: number, denominator: number, offset?: number];

/** 0.453 592 37 kg x 9.806 65 m/s2 = 4.448 221 615 260 5 N, in units of 1e-13 N. */
const poundForce = 44_482_216_152_605;

/**
 * The supported units; the first of each dimension is its SI unit. Source of the codes and values: UCUM (The Unified Code for Units of Measure, ucum.org), tables of base,
 * derived, international customary and avoirdupois units; the inch is 25.4 mm and the pound 0.453 592 37 kg exactly
 * (international yard and pound agreement, 1959), standard gravity 9.806 65 m/s2 exactly (3rd CGPM, 1901).
 */
const rows: Record<Dimension, readonly Row[]> = {
  length: [
    ['m', 1, 1],
    ['mm', 1, 1e3],
    ['cm', 1, 1e2],
    ['km', 1e3, 1],
    ['um', 1, 1e6],
    ['nm', 1, 1e9],
    ['[in_i]', 254, 1e4],
    ['[ft_i]', 3048, 1e4],
    ['[yd_i]', 9144, 1e4],
    ['[mil_i]', 254, 1e7],
    ['10*-6.[in_i]', 254, 1e10],
  ],
  speed: [
    ['m/s', 1, 1],
    ['m/min', 1, 60],
    ['m/h', 1, 3600],
    ['km/h', 1e3, 3600],
    ['mm/s', 1, 1e3],
    ['mm/min', 1, 6e4],
    ['[in_i]/s', 254, 1e4],
    ['[ft_i]/s', 3048, 1e4],
    ['[ft_i]/min', 3048, 6e5],
    ['[yd_i]/min', 9144, 6e5],
  ],
  acceleration: [
    ['m/s2', 1, 1],
    ['mm/s2', 1, 1e3],
    ['[g]', 980_665, 1e5],
    ['[in_i]/s2', 254, 1e4],
    ['[ft_i]/s2', 3048, 1e4],
  ],
  frequency: [
    ['1/s', 1, 1],
    ['/s', 1, 1],
    ['Hz', 1, 1],
    ['kHz', 1e3, 1],
    ['/min', 1, 60],
    ['1/min', 1, 60],
    ['/h', 1, 3600],
  ],
  force: [
    ['N', 1, 1],
    ['daN', 10, 1],
    ['kN', 1e3, 1],
    ['kgf', 980_665, 1e5],
    ['[lbf_av]', poundForce, 1e13],
  ],
  'force per width': [
    ['N/m', 1, 1],
    ['daN/m', 10, 1],
    ['kN/m', 1e3, 1],
    ['N/cm', 1e2, 1],
    ['daN/cm', 1e3, 1],
    ['N/mm', 1e3, 1],
    ['kgf/m', 980_665, 1e5],
    ['kgf/cm', 980_665, 1e3],
    ['[lbf_av]/[in_i]', poundForce, 254e9],
    ['[lbf_av]/[ft_i]', poundForce, 3048e9],
  ],
  pressure: [
    ['Pa', 1, 1],
    ['hPa', 1e2, 1],
    ['kPa', 1e3, 1],
    ['MPa', 1e6, 1],
    ['GPa', 1e9, 1],
    ['mbar', 1e2, 1],
    ['bar', 1e5, 1],
    ['[psi]', poundForce, 645_160e4],
  ],
  mass: [
    ['kg', 1, 1],
    ['g', 1, 1e3],
    ['t', 1e3, 1],
    ['[lb_av]', 45_359_237, 1e8],
  ],
  'mass per area': [
    ['kg/m2', 1, 1],
    ['g/m2', 1, 1e3],
  ],
  permeance: [
    ['m/(Pa.s)', 1, 1],
    ['um/(Pa.s)', 1, 1e6],
  ],
  time: [
    ['s', 1, 1],
    ['ms', 1, 1e3],
    ['us', 1, 1e6],
    ['min', 60, 1],
    ['h', 3600, 1],
    ['d', 86_400, 1],
  ],
  temperature: [
    ['K', 1, 1],
    ['Cel', 1, 1, 273.15],
    ['[degF]', 5, 9, 459.67],
  ],
  ratio: [
    ['1', 1, 1],
    ['%', 1, 100],
    ['[ppth]', 1, 1e3],
    ['[ppm]', 1, 1e6],
  ],
};

/** Every supported unit by its code. To add a unit, add a row above. */
export const units: ReadonlyMap<string, Unit> = new Map(
  Object.entries(rows).flatMap(([dimension, ofDimension]) =>
    ofDimension.map(([code, numerator, denominator, offset = 0]): [string, Unit] => [
      code,
      { code, dimension: dimension as Dimension, numerator, denominator, offset },
    ]),
  ),
);
