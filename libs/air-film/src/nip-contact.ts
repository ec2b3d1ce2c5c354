/** A covered roller pressed on the winding roll. */
export interface NipGeometry {
  readonly rollerDiameterM: number;
  readonly rollDiameterM: number;
  /** Young's modulus of the cover, Pa. */
  readonly coverModulusPa: number;
  /** Poisson ratio of the cover, up to 0.5. */
  readonly coverPoissonRatio: number;
  /** Nip load per width, N/m, > 0. */
  readonly loadNPerM: number;
  /** m; left out, or 0: the cover counts as thick against the contact. */
  readonly coverThicknessM?: number;
}

/** The dry contact between cover and roll. */
export interface NipContact {
  /** `1/R = 1/R_roller + 1/R_roll`, m. */
  readonly reducedRadiusM: number;
  /** `E' = 2 E/(1 - nu^2)`, Pa. */
  readonly reducedModulusPa: number;
  /** Half the width of the contact in running direction, m. */
  readonly halfWidthM: number;
  /** Highest pressure in the contact, Pa. */
  readonly peakPressurePa: number;
}

/**
 * Half width and peak pressure of the nip as a dry line contact between a soft cover and a rigid roll.
 *
 * `b = sqrt(8 w R/(pi E'))`, `p0 = 2 w/(pi b)` (Hertz 1882; Johnson 1985, Contact Mechanics, chapter 4), with
 * `E' = 2/[(1 - n1^2)/E1 + (1 - n2^2)/E2]`: the convention of Hamrock and Dowson. Half of it circulates too; mixing them changes the film
 * by a third. The winding roll counts as rigid; a bulky roll is softer, so that the true nip is longer and its pressure lower.
 * Validity: half width below 0.3 cover thicknesses (see `layered-contact` for thinner covers).
 */
export function nipContact(nip: NipGeometry): NipContact {
  const reducedRadiusM = 1 / (2 / nip.rollerDiameterM + 2 / nip.rollDiameterM);
  const reducedModulusPa = (2 * nip.coverModulusPa) / (1 - nip.coverPoissonRatio * nip.coverPoissonRatio);
  const halfWidthM = Math.sqrt((8 * nip.loadNPerM * reducedRadiusM) / (Math.PI * reducedModulusPa));
  const peakPressurePa = (2 * nip.loadNPerM) / (Math.PI * halfWidthM);
  return { reducedRadiusM, reducedModulusPa, halfWidthM, peakPressurePa };
}
