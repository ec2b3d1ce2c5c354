import type { DisplaySystem } from '@edge-margin/units';
import { type NipTerms, nipTerms } from './nip-film.js';
import { nipOf } from './nip-of.js';
import { unpressedWidthRatio } from './nip-weakness.js';
import type { PointNumbers } from './point-numbers.js';
import type { StackTerms } from './stack-venting.js';
import type { FilmTerms } from './wound-in-film.js';

/** What the formulas need of an operating point, apart from its speed. */
export interface AirTerms extends FilmTerms, StackTerms {
  /** The film above which a wrap is free to move, m: `boundaryFactor x 3 x combined roughness`. */
  readonly boundaryFilmM: number;
  readonly floatingWrapsAllowed: number;
  /** Units of sentences. */
  readonly display: DisplaySystem;
}

/** What the nip has to do with it: the dearest to compute. */
type NipPart = Pick<AirTerms, 'nip' | 'unpressedWidthRatio'>;

/**
 * Computes what does not change with the speed once.
 * @param known the same of another point that has the same nip, roll and cover, so that it need not be computed again.
 */
export function airTerms(point: PointNumbers, known?: NipPart): AirTerms {
  return {
    radiusM: 0.5 * point.rollDiameterM,
    tensionNPerM: point.tensionNPerM,
    grammageKgPerM2: point.grammageKgPerM2,
    viscosityPaS: point.viscosityPaS,
    pressurePa: point.pressurePa,
    meanFreePathM: point.meanFreePathM,
    nip: known === undefined ? nipTermsOf(point) : known.nip,
    unpressedWidthRatio: known?.unpressedWidthRatio ?? unpressedWidthRatio(point),
    wrapBeforeNipRad: point.profile?.wrapBeforeNipRad ?? 0,
    widthM: point.widthM,
    permeanceMPerPaS: point.permeanceMPerPaS,
    boundaryFilmM: 3 * point.boundaryFactor * point.combinedRoughnessM,
    floatingWrapsAllowed: point.floatingWrapsAllowed,
    display: point.display,
  };
}

function nipTermsOf(point: PointNumbers): NipTerms | null {
  return point.nipLoadNPerM > 0 ? nipTerms(nipOf(point), point) : null;
}
