import type { NipGeometry } from './nip-contact.js';
import type { PointNumbers } from './point-numbers.js';

/** The nip of a point as the contact formulas take it, at its own diameter of the roll or another. */
export function nipOf(point: PointNumbers, rollDiameterM = point.rollDiameterM): NipGeometry {
  return {
    rollerDiameterM: point.nipRollerDiameterM,
    rollDiameterM,
    coverModulusPa: point.coverModulusPa,
    coverPoissonRatio: point.coverPoissonRatio,
    loadNPerM: point.nipLoadNPerM,
    coverThicknessM: point.coverThicknessM,
  };
}
