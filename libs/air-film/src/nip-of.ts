import type { NipGeometry } from './nip-contact.js';
import type { PointNumbers } from './point-numbers.js';

/** The nip of a point as the contact formulas take it. */
export function nipOf(point: PointNumbers): NipGeometry {
  return {
    rollerDiameterM: point.nipRollerDiameterM,
    rollDiameterM: point.rollDiameterM,
    coverModulusPa: point.coverModulusPa,
    coverPoissonRatio: point.coverPoissonRatio,
    loadNPerM: point.nipLoadNPerM,
    coverThicknessM: point.coverThicknessM,
  };
}
