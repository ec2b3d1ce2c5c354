import type { NipGeometry } from './nip-contact.js';
import { type NipTerms, nipTerms } from './nip-film.js';
import type { PointNumbers } from './point-numbers.js';
import type { StackTerms } from './stack-venting.js';
import type { FilmTerms } from './wound-in-film.js';

/** What the formulas need of an operating point, apart from its speed. */
export interface AirTerms extends FilmTerms, StackTerms {
  /** The film above which a wrap is free to move, m: `boundaryFactor x 3 x combined roughness`. */
  readonly boundaryFilmM: number;
  readonly floatingWrapsAllowed: number;
}

/**
 * Computes what does not change with the speed once.
 * @param nip what the nip formulas need, where it is known already.
 */
export function airTerms(point: PointNumbers, nip: NipTerms | null = nipTermsOf(point)): AirTerms {
  return {
    radiusM: 0.5 * point.rollDiameterM,
    tensionNPerM: point.tensionNPerM,
    grammageKgPerM2: point.grammageKgPerM2,
    viscosityPaS: point.viscosityPaS,
    pressurePa: point.pressurePa,
    meanFreePathM: point.meanFreePathM,
    nip,
    widthM: point.widthM,
    permeanceMPerPaS: point.permeanceMPerPaS,
    boundaryFilmM: 3 * point.boundaryFactor * point.combinedRoughnessM,
    floatingWrapsAllowed: point.floatingWrapsAllowed,
  };
}

function nipTermsOf(point: PointNumbers): NipTerms | null {
  return point.nipLoadNPerM > 0 ? nipTerms(nipOf(point), point) : null;
}

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
