import type { AirTerms } from './air-terms.js';
import { netTension } from './net-tension.js';
import { filmAtDepth, sideLossPerTurn, stackDepth, webLossPerTurn } from './stack-venting.js';
import { woundInFilm } from './wound-in-film.js';

/** The film that the last wrap which may float still has, m: what was wound in, less what vents in `floatingWrapsAllowed` turns. */
export function filmOfLastWrap(terms: AirTerms, speedMPerS: number): number {
  const tensionNPerM = netTension(terms, speedMPerS);
  const depth =
    terms.lastWrapDepth ??
    stackDepth(tensionNPerM / (terms.radiusM * terms.pressurePa), terms.floatingWrapsAllowed);
  const sideLossPerM2 = sideLossPerTurn(terms, speedMPerS, tensionNPerM);
  const webLossM = webLossPerTurn(terms, speedMPerS, tensionNPerM);
  return filmAtDepth(depth, sideLossPerM2, webLossM, woundInFilm(terms, speedMPerS));
}

/**
 * How far the film of the last wrap that may float is beyond the boundary film: `ln(film/boundary)`, > 0 beyond. Rises steadily with the speed, so it has one
 * root: the critical speed. `-Infinity` where the wrap has vented altogether.
 */
export function boundaryExcess(terms: AirTerms, speedMPerS: number): number {
  return Math.log(Math.max(0, filmOfLastWrap(terms, speedMPerS)) / terms.boundaryFilmM);
}

/** The same for the film as it was laid down, without venting. */
export function filmExcess(terms: AirTerms, speedMPerS: number): number {
  return Math.log(woundInFilm(terms, speedMPerS) / terms.boundaryFilmM);
}
