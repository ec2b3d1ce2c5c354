import { PI, power } from '../math/portable-math.js';

/** Dry line contact of a covered roller on the winding roll, and the air film problem it poses, made dimensionless. */
export interface NipContact {
  /** Half width of the dry contact, m. */
  readonly halfWidthM: number;
  /** Largest dry contact pressure, Pa. */
  readonly peakPressurePa: number;
  /** Radius of the equivalent cylinder on a plane, m. */
  readonly radiusM: number;
  /** Dimensionless speed `12 mu V R^2 / (p0 b^3)`. */
  readonly speedNumber: number;
  /** Dry peak pressure over ambient pressure. */
  readonly pressureNumber: number;
  /** Mean free path at ambient pressure over `speedNumber^0.6 b^2/R` (a film thickness of the right size). */
  readonly slipNumber: number;
}

export interface NipCase {
  readonly rollerRadiusM: number;
  readonly rollRadiusM: number;
  readonly coverModulusPa: number;
  readonly coverPoissonRatio: number;
  /** Radial modulus of the winding roll, Pa; Infinity for a rigid roll. */
  readonly rollModulusPa: number;
  /** Nip load per metre of web, N/m, > 0. */
  readonly loadNPerM: number;
  /** Surface speed of web and roll, m/s, > 0. */
  readonly speedMPerS: number;
  readonly viscosityPaS: number;
  readonly ambientPa: number;
  readonly meanFreePathM: number;
}

/**
 * Hertz line contact: `1/R = 1/R1 + 1/R2`, `E* = 1/[(1-n1^2)/E1 + 1/E2]`, `b = sqrt(4 w R/(pi E*))`, `p0 = 2w/(pi b)`
 * (Johnson, "Contact Mechanics", 1985, chapter 4). The roll's Poisson ratio is taken as 0.
 */
export function nipContact(at: NipCase): NipContact {
  const radiusM = 1 / (1 / at.rollerRadiusM + 1 / at.rollRadiusM);
  const compliance =
    (1 - at.coverPoissonRatio * at.coverPoissonRatio) / at.coverModulusPa + 1 / at.rollModulusPa;
  const halfWidthM = Math.sqrt((4 * at.loadNPerM * radiusM * compliance) / PI);
  const peakPressurePa = (2 * at.loadNPerM) / (PI * halfWidthM);
  const b = halfWidthM;
  const speedNumber =
    (12 * at.viscosityPaS * at.speedMPerS * radiusM * radiusM) / (peakPressurePa * b * b * b);
  return {
    halfWidthM,
    peakPressurePa,
    radiusM,
    speedNumber,
    pressureNumber: peakPressurePa / at.ambientPa,
    slipNumber: (at.meanFreePathM * radiusM) / (b * b * power(speedNumber, 0.6)),
  };
}
