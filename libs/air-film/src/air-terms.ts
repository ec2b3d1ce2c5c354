import { nipTerms } from './nip-film.js';
import type { PointNumbers } from './point-numbers.js';
import type { StackTerms } from './stack-venting.js';
import type { FilmTerms } from './wound-in-film.js';

/** What the formulas need of an operating point, apart from its speed. */
export interface AirTerms extends FilmTerms, StackTerms {
  /** The film above which a wrap is free to move, m: `boundaryFactor x 3 x combined roughness`. */
  readonly boundaryFilmM: number;
  readonly floatingWrapsAllowed: number;
}

/** Computes what does not change with the speed once. */
export function airTerms(point: PointNumbers): AirTerms {
  return {
    radiusM: 0.5 * point.rollDiameterM,
    tensionNPerM: point.tensionNPerM,
    grammageKgPerM2: point.grammageKgPerM2,
    viscosityPaS: point.viscosityPaS,
    pressurePa: point.pressurePa,
    meanFreePathM: point.meanFreePathM,
    nip: point.nipLoadNPerM > 0 ? nipTerms(nipOf(point), point) : null,
    widthM: point.widthM,
    permeanceMPerPaS: point.permeanceMPerPaS,
    boundaryFilmM: 3 * point.boundaryFactor * point.combinedRoughnessM,
    floatingWrapsAllowed: point.floatingWrapsAllowed,
  };
}

function nipOf(point: PointNumbers) {
  return {
    rollerDiameterM: point.nipRollerDiameterM,
    rollDiameterM: point.rollDiameterM,
    coverModulusPa: point.coverModulusPa,
    coverPoissonRatio: point.coverPoissonRatio,
    loadNPerM: point.nipLoadNPerM,
    coverThicknessM: point.coverThicknessM,
  };
}
