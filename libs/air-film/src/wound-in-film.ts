import { type FoilTerms, foilFilm, foilFilmAtLeast } from './foil-film.js';
import { type NetTensionTerms, netTension } from './net-tension.js';
import { type NipTerms, keptNipFilm } from './nip-film.js';

/** Everything that decides how much air is wound in, except the speed. */
export interface FilmTerms extends FoilTerms, NetTensionTerms {
  /** Null where no nip touches. */
  readonly nip: NipTerms | null;
  /** Share of the width that the nip does not press, 0 to 1. */
  readonly unpressedWidthRatio: number;
  /** Angle over which the web lies on the roll ahead of the nip, rad. */
  readonly wrapBeforeNipRad: number;
}

/** The films of a place that the nip presses and of one that it does not, and how the web is shared between them. */
interface Stages {
  /** What tension alone leaves, m. */
  readonly foilM: number;
  /** Under the nip, m. */
  readonly pressedM: number;
  /** True where the nip holds back more than the tension does. */
  readonly nipHolds: boolean;
  /** Share of the web that has `foilM`. */
  readonly withoutNipRatio: number;
}

/**
 * Thickness of the air film that a wrap has just after it was laid down, m, at the pressure in the outermost wrap.
 *
 * `min(h0, kept/(1 + T/(R pa)))`: the nip can hold air back, but it cannot deliver more than reaches it. Each side is an upper bound, and near the change-over the true film is a little below both: see
 * {@link smallerOf}. (Own synthesis.)
 *
 * Where the nip does not press on a share s of the width, or the web takes its air before it comes to the nip, it is the mean over the width, `(1 - s) h_nip + s h0`: a wrap is free on its whole
 * width once there is air enough for that (mass balance, own derivation); below that only the lane floats and the rest holds the wrap. Has no jump as s grows from 0, and both limits are right. Where the air stays in the lane, that lane
 * alone is free earlier: its own film and critical speed are given beside (`ineffectiveNip`).
 */
export function woundInFilm(film: FilmTerms, speedMPerS: number): number {
  const { nip } = film;
  if (nip !== null && film.unpressedWidthRatio === 0 && film.wrapBeforeNipRad === 0) {
    // The usual case, in the innermost loop of every search: the nip alone decides, and nobody needs to know the foil film exactly.
    const tensionNPerM = netTension(film, speedMPerS);
    const keptM = keptNipFilm(nip, speedMPerS) / (1 + tensionNPerM / (film.radiusM * film.pressurePa));
    if (keptM < apart * foilFilmAtLeast(film, 2 * speedMPerS, tensionNPerM)) return keptM;
  }
  const { foilM, pressedM, withoutNipRatio } = stages(film, speedMPerS);
  return withoutNipRatio === 0 ? pressedM : pressedM + withoutNipRatio * (foilM - pressedM);
}

/** The film that tension alone would leave, m, at the pressure in the outermost wrap. */
export function filmWithoutNip(film: FilmTerms, speedMPerS: number): number {
  return foilFilm(film, 2 * speedMPerS, netTension(film, speedMPerS));
}

/** True where the nip and not the web's tension decides the film: more of the film passes below it than beside it. */
export function nipGoverns(film: FilmTerms, speedMPerS: number): boolean {
  if (film.nip === null) return false;
  const { foilM, nipHolds, pressedM, withoutNipRatio } = stages(film, speedMPerS);
  return nipHolds && withoutNipRatio * foilM <= (1 - withoutNipRatio) * pressedM;
}

/** Share of the web that is wound with the film that tension alone leaves, 0 to 1; 1 without a nip. */
export function withoutNipRatio(film: FilmTerms, speedMPerS: number): number {
  return film.nip === null ? 1 : stages(film, speedMPerS).withoutNipRatio;
}

function stages(film: FilmTerms, speedMPerS: number): Stages {
  const tensionNPerM = netTension(film, speedMPerS);
  const foilM = foilFilm(film, 2 * speedMPerS, tensionNPerM);
  if (film.nip === null) return { foilM, pressedM: foilM, nipHolds: false, withoutNipRatio: 0 };
  const tau = tensionNPerM / (film.radiusM * film.pressurePa);
  const keptM = keptNipFilm(film.nip, speedMPerS) / (1 + tau);
  const pressedM = smallerOf(foilM, keptM);
  const nipHolds = keptM < foilM;
  if (film.unpressedWidthRatio === 0 && film.wrapBeforeNipRad === 0)
    return { foilM, pressedM, nipHolds, withoutNipRatio: 0 };
  const held = 1 - airTakenBefore(film, { speedMPerS, tensionNPerM, foilM });
  return { foilM, pressedM, nipHolds, withoutNipRatio: 1 - held * (1 - film.unpressedWidthRatio) };
}

/** The two films count as apart from this ratio on: the rounding is below 2e-9 there. */
const apart = 0.1;

/**
 * The smaller of two films, rounded where they are alike: `(a^-8 + b^-8)^(-1/8)`, 8 % below both where they are equal, 0.05 % at a ratio of 2, the smaller itself beyond 10. Rounded so that sensitivities do not jump where the nip
 * takes over; the power is an own choice, and its effect lies far below the error of either film.
 */
function smallerOf(aM: number, bM: number): number {
  const smaller = Math.min(aM, bM);
  const ratio = smaller / Math.max(aM, bM);
  // Also at standstill, where both are 0 and the ratio is none.
  if (!(ratio > apart)) return smaller;
  const fourth = (ratio * ratio) ** 2;
  return smaller / Math.sqrt(Math.sqrt(Math.sqrt(1 + fourth * fourth)));
}

/**
 * How much of the foil film a web takes on its way over the roll to the nip, 0 to 1: `1 - exp(-R angle/l)`, l = h0 (12 mu V/T)^(-1/3) the length over which a foil film settles (its only mode that decays into the wrap goes with exp(-x/l);
 * own derivation).
 */
function airTakenBefore(
  film: FilmTerms,
  at: { readonly speedMPerS: number; readonly tensionNPerM: number; readonly foilM: number },
): number {
  if (film.wrapBeforeNipRad === 0 || at.foilM <= 0) return 0;
  const entrance = Math.cbrt((12 * film.viscosityPaS * at.speedMPerS) / at.tensionNPerM);
  return -Math.expm1((-film.radiusM * film.wrapBeforeNipRad * entrance) / at.foilM);
}
