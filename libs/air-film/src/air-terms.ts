import type { DisplaySystem } from '@edge-margin/units';
import { type NipTerms, nipTerms } from './nip-film.js';
import { nipOf } from './nip-of.js';
import { unpressedWidthRatio } from './nip-weakness.js';
import type { PointNumbers } from './point-numbers.js';
import { type StackDepth, stackDepth, type StackTerms } from './stack-venting.js';
import type { FilmTerms } from './wound-in-film.js';

/** What the formulas need of an operating point, apart from its speed. */
export interface AirTerms extends FilmTerms, StackTerms {
  /** The film above which a wrap is free to move, m: `boundaryFactor x 3 x combined roughness`. */
  readonly boundaryFilmM: number;
  readonly floatingWrapsAllowed: number;
  /** Of the last wrap that may float; null where the tension that presses it goes with the speed. */
  readonly lastWrapDepth: StackDepth | null;
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
  return termsOf(
    point,
    point.rollDiameterM,
    point.tensionNPerM,
    known === undefined ? nipTermsOf(point, point.rollDiameterM) : known.nip,
    known?.unpressedWidthRatio ?? unpressedWidthRatio(point),
  );
}

/** The terms of the same point at another diameter of the roll. */
export function airTermsAt(point: PointNumbers, rollDiameterM: number): AirTerms {
  // How far the cover follows an uneven roll goes with the diameter too.
  return point.profile === null
    ? termsOf(point, rollDiameterM, point.tensionNPerM, nipTermsOf(point, rollDiameterM), 0)
    : airTerms({ ...point, rollDiameterM });
}

/** The terms of the same point under another tension, in which the nip has no part. */
export function airTermsUnder(point: PointNumbers, known: NipPart, tensionNPerM: number): AirTerms {
  return termsOf(point, point.rollDiameterM, tensionNPerM, known.nip, known.unpressedWidthRatio);
}

/** All terms are made here, as objects of one shape: read in several, every number of the innermost loops is made anew (that was a seventh of the bytes of an assessment). */
function termsOf(
  point: PointNumbers,
  rollDiameterM: number,
  tensionNPerM: number,
  nip: NipTerms | null,
  unpressedWidthRatio: number,
): AirTerms {
  const radiusM = 0.5 * rollDiameterM;
  return {
    radiusM,
    tensionNPerM,
    grammageKgPerM2: point.grammageKgPerM2,
    viscosityPaS: point.viscosityPaS,
    pressurePa: point.pressurePa,
    meanFreePathM: point.meanFreePathM,
    nip,
    unpressedWidthRatio,
    wrapBeforeNipRad: point.profile?.wrapBeforeNipRad ?? 0,
    widthM: point.widthM,
    permeanceMPerPaS: point.permeanceMPerPaS,
    boundaryFilmM: 3 * point.boundaryFactor * point.combinedRoughnessM,
    floatingWrapsAllowed: point.floatingWrapsAllowed,
    lastWrapDepth: lastWrapDepth(point, radiusM, tensionNPerM),
    display: point.display,
  };
}

/** Without inertia of the web the same tension presses at any speed. */
function lastWrapDepth(
  { floatingWrapsAllowed, grammageKgPerM2, pressurePa }: PointNumbers,
  radiusM: number,
  tensionNPerM: number,
): StackDepth | null {
  return grammageKgPerM2 === 0
    ? stackDepth(tensionNPerM / (radiusM * pressurePa), floatingWrapsAllowed)
    : null;
}

function nipTermsOf(point: PointNumbers, rollDiameterM: number): NipTerms | null {
  return point.nipLoadNPerM > 0 ? nipTerms(nipOf(point, rollDiameterM), point) : null;
}
