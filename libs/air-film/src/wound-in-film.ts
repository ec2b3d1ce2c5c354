import { type FoilTerms, foilFilm } from './foil-film.js';
import { type NetTensionTerms, netTension } from './net-tension.js';
import { type NipTerms, keptNipFilm } from './nip-film.js';

/** Everything that decides how much air is wound in, except the speed. */
export interface FilmTerms extends FoilTerms, NetTensionTerms {
  /** Null where no nip touches. */
  readonly nip: NipTerms | null;
}

/**
 * Thickness of the air film that a wrap has just after it was laid down, m, at the pressure in the outermost wrap.
 *
 * `min(h0, kept/(1 + T/(R pa)))`: the nip can hold air back, but it cannot deliver more than reaches it. The change-over is sharp because each
 * side is an upper bound; near it the true film is a little below both. (Own synthesis.)
 */
export function woundInFilm(film: FilmTerms, speedMPerS: number): number {
  const tensionNPerM = netTension(film, speedMPerS);
  const foilM = foilFilm(film, 2 * speedMPerS, tensionNPerM);
  if (film.nip === null) return foilM;
  const tau = tensionNPerM / (film.radiusM * film.pressurePa);
  return Math.min(foilM, keptNipFilm(film.nip, speedMPerS) / (1 + tau));
}

/** True where the nip and not the web's tension decides the film. */
export function nipGoverns(film: FilmTerms, speedMPerS: number): boolean {
  if (film.nip === null) return false;
  const tensionNPerM = netTension(film, speedMPerS);
  const tau = tensionNPerM / (film.radiusM * film.pressurePa);
  return keptNipFilm(film.nip, speedMPerS) / (1 + tau) < foilFilm(film, 2 * speedMPerS, tensionNPerM);
}
