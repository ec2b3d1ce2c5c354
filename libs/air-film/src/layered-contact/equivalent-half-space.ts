import { layerRatio } from './layer-ratio.js';
import { checkNip, type LayeredNip } from './layered-contact.js';

/** The half-space that lets the same air through as a cover of finite thickness. Radius and Poisson ratio stay as they are. */
export interface EquivalentHalfSpace {
  /** Modulus to use, Pa: the cover's own. */
  readonly coverModulusPa: number;
  /** Load to use, N/m: more than the true one. */
  readonly loadNPerM: number;
  /** Load to use over true load, >= 1. */
  readonly loadFactor: number;
}

/**
 * The load with which the film formulas of the elastic half-space give the film under a cover of finite thickness.
 *
 * What passes a soft nip is decided at the edge of its inlet, over a length `lam^(2/5) a` that is short against contact and cover. There any elastic body acts as a half-space, and
 * the dry pressure rises as `p = A sqrt(s)` with the distance s from the edge. Film and inlet pressure follow from A, E*, viscosity and speed alone:
 * `h ~ (mu V)^(3/5) E*^(1/5) A^(-4/5)`, `p_inlet ~ (mu V)^(1/5) E*^(2/5) A^(2/5)` (own derivation after Snoeijer, Eggers & Venner 2013, Physics of Fluids 25, 101705). So the half-space that lets the same
 * air through has the **same modulus and the same A**. In a half-space `A ~ E* sqrt(a_H)/R` grows with the fourth root of the load: `w_eq = w (A/A_H)^4`, with A of the cover from own numerical solutions
 * ({@link layerRatio}).
 *
 * A stiffer modulus instead, with the true load (`E (A/A_H)^2` gives the same incompressible film), compresses the air too much: already at half an atmosphere 3 % too much film at `a_H = t`, 4 to 6 % at 2. Matching the half width
 * or the peak pressure is further off: the middle of the contact has no part in it.
 *
 * Held against own direct solutions of the gas nip with the cover's exact compliance (gauge pressure 0.5 and 3 atmospheres, nu 0.3 and 0.5): for a nip that is soft (gE >= 15) within 1 %
 * up to `a_H/t` = 1, 4 % up to 2, 10 % up to 4; at gE 5 within 4, 9 and 16 %, the film being read too thin. A half-space of the true load gives up to 23 % too much film at 1, 40 % at 2.
 *
 * For the film only. Half width, peak pressure (film inside the nip), indentation and stiffness are those of `layeredContact`.
 * @throws RangeError if a number makes no sense.
 */
export function equivalentHalfSpace(nip: LayeredNip): EquivalentHalfSpace {
  checkNip(nip);
  const { loadNPerM, coverModulusPa, coverPoissonRatio: poissonRatio } = nip;
  if (loadNPerM === 0) return { coverModulusPa, loadNPerM, loadFactor: 1 };
  const reducedModulusPa = coverModulusPa / (1 - poissonRatio ** 2);
  const hertzM = Math.sqrt((4 * loadNPerM * nip.reducedRadiusM) / (Math.PI * reducedModulusPa));
  const edgeRatio = layerRatio('edgeGradient', { thinness: hertzM / nip.coverThicknessM, poissonRatio });
  const loadFactor = edgeRatio ** 4;
  return { coverModulusPa, loadNPerM: loadNPerM * loadFactor, loadFactor };
}
