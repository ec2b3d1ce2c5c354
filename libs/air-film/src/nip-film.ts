import { equivalentHalfSpace, layeredContact, type LayeredNip } from './layered-contact/index.js';
import { type NipContact, type NipGeometry, nipContact } from './nip-contact.js';
import { filmWithSlip } from './slip.js';

/** Conditions of the nip that do not change with the speed. */
export interface NipTerms {
  /** `lam/V = 12 mu R^2/(p0 b^3)`, s/m: viscous against contact pressure. */
  readonly viscousPerSpeedSPerM: number;
  /** `b^2/R`, m: the scale of the gap. */
  readonly gapScaleM: number;
  /** `p0/pa`: peak contact pressure of the half-space that lets the same air through, in atmospheres. */
  readonly pressureRatio: number;
  /** `mu R/w`, s: film of a rigid nip per speed. */
  readonly rigidFilmPerSpeedS: number;
  readonly meanFreePathM: number;
  /** Half width by Hertz over cover thickness; 0 where the thickness is not known. */
  readonly coverThinnessRatio: number;
}

/** Air as the nip sees it. */
export interface NipAir {
  readonly viscosityPaS: number;
  readonly pressurePa: number;
  readonly meanFreePathM: number;
}

/**
 * What the film formulas need of a nip under load, computed once.
 *
 * Where the thickness of the cover is known, the half-space of the formulas is the one that lets the same air through as the cover ({@link equivalentHalfSpace}),
 * at any thickness: for a contact below 0.3 cover thicknesses that thins the film by up to 4 %, so that switching it on there would only make a step.
 */
export function nipTerms(nip: NipGeometry, air: NipAir): NipTerms {
  const dry = nipContact(nip);
  const { coverThicknessM = 0 } = nip;
  const factor = coverThicknessM === 0 ? 1 : equivalentHalfSpace(layeredNip(nip, dry)).loadFactor;
  const loadNPerM = factor * nip.loadNPerM;
  const { reducedRadiusM } = dry;
  // Hertz: half width and pressure both go with the square root of the load.
  const root = Math.sqrt(factor);
  const halfWidthM = root * dry.halfWidthM;
  const peakPressurePa = root * dry.peakPressurePa;
  // Products instead of powers: this is the innermost loop of every search, and powers cost ten times as much.
  const gapScaleM = (halfWidthM * halfWidthM) / reducedRadiusM;
  return {
    viscousPerSpeedSPerM:
      (12 * air.viscosityPaS * reducedRadiusM) / (peakPressurePa * halfWidthM * gapScaleM),
    gapScaleM,
    pressureRatio: peakPressurePa / air.pressurePa,
    rigidFilmPerSpeedS: (air.viscosityPaS * reducedRadiusM) / loadNPerM,
    meanFreePathM: air.meanFreePathM,
    coverThinnessRatio: coverThicknessM === 0 ? 0 : dry.halfWidthM / coverThicknessM,
  };
}

/** Peak pressure of the dry contact in atmospheres, `p0/pa`, with the cover's own thickness where it is known. */
export function centrePressureRatio(nip: NipGeometry, air: NipAir): number {
  const dry = nipContact(nip);
  const { peakPressurePa } = (nip.coverThicknessM ?? 0) === 0 ? dry : layeredContact(layeredNip(nip, dry));
  return peakPressurePa / air.pressurePa;
}

/** A nip whose cover is of known thickness as the formulas of the layer take it. */
export function layeredNip(nip: NipGeometry, { reducedRadiusM }: NipContact): LayeredNip {
  return {
    loadNPerM: nip.loadNPerM,
    reducedRadiusM,
    coverModulusPa: nip.coverModulusPa,
    coverPoissonRatio: nip.coverPoissonRatio,
    coverThicknessM: nip.coverThicknessM ?? 0,
  };
}

/**
 * How soft the nip is against the film: `gE = W/sqrt(U)`, with `W = w/(E' R)` and `U = mu V/(E' R)`. Above about 10 the cover deforms much more than the film is
 * thick; below 2 the nip is as good as rigid. Related to the viscous parameter by `lam = (3 pi^2/4)/gE^2` (own derivation).
 */
export function loadSpeedRatio(nip: NipTerms, speedMPerS: number): number {
  return Math.sqrt((0.75 * Math.PI ** 2) / (nip.viscousPerSpeedSPerM * speedMPerS));
}

/**
 * Smallest film in a soft nip if air could not be compressed, m: for comparison with handbooks, not what the roll keeps.
 *
 * `h = (mu V R/w) (4.895^s + (3.10 gE^0.8)^s)^(1/s)`, s = 2.2. The soft limit is Herrebrugh 1968 (Journal of Lubrication Technology 90, 262:
 * `h/R = 3.10 U^0.6 W^-0.2`, as quoted in Hamrock's textbook, from memory), the rigid limit Martin 1916 with Reynolds' exit (own
 * solution: 4.895). The blend is own; it is right within +5.2/-3.5 % of own numerical solutions for gE 1 to 20 and within 3 % up to 200.
 */
export function incompressibleNipFilm(nip: NipTerms, speedMPerS: number): number {
  if (speedMPerS <= 0) return 0;
  const soft = 3.1 * loadSpeedRatio(nip, speedMPerS) ** 0.8;
  return nip.rigidFilmPerSpeedS * speedMPerS * (4.895 ** 2.2 + soft ** 2.2) ** (1 / 2.2);
}

/**
 * The air that the nip lets into the roll, as a film at ambient pressure, m.
 *
 * Own correlation of own numerical solutions of the soft gas nip (isothermal, infinitely wide, elastic half-space on a rigid roll,
 * smooth faces):
 *
 *     lam  = 12 mu V R^2/(p0 b^3)
 *     h*   = (0.4453 + 0.1125 lam^0.4) lam^0.6 b^2/R      the film if air could not be compressed
 *     P    = (p0/pa) lam^0.2/(1 + 0.6595 lam^0.4)         inlet pressure in atmospheres
 *     kept = h* (1 + P (1.2872 + 0.0754 sqrt(P))/(1 + 0.683 sqrt(P)))/(1 + 0.0478 lam^0.4/(1 + 0.02 lam^0.4)), less slip
 *     l    = mean free path x (1 + 0.15 P/(1.6 + P))      the path that slips
 *
 * What the terms stand for. The mass of air is what passes through the nip: it expands behind it, so the roll keeps 1.4 to 2.4 times the film
 * that incompressible formulas give (mechanism: A. W. Forrest 1995, International Conference on Web Handling, abstract). The power of 3/5 is that of
 * Snoeijer, Eggers & Venner 2013 (Physics of Fluids 25, 101705). The inlet pressure is reached over the length `b lam^0.4`; where that is no longer
 * short against the contact the pressure is spread out, hence the divisor of P. Kept air goes with density times film, and density with
 * pressure, so it rises linearly with P both in a weakly and in a strongly compressed inlet, with different slopes: the fraction with sqrt(P) has both. The last
 * divisor is the suction behind a nip that is not soft: air does not cavitate as a liquid does, so the pressure below ambient takes load from the nip; it
 * is limited so that with falling load the film grows like 1/load and hands over to the foil film. Slip: {@link filmWithSlip}, which is
 * made for a film at one pressure; in a compressed inlet the path falls along with the pressure, and its loss at the beginning counts more (own fit).
 *
 * The film grows with the speed and, up to p0/pa = 100, falls with the load. It falls with the modulus of the cover as long as the inlet is compressed to less than
 * some 6 atmospheres; beyond, a harder cover lets in more.
 *
 * Validity: `gE` 3 to 800 ({@link loadSpeedRatio}), p0/pa up to 30. Without slip within 0.4 % of the direct solutions from gE 5, 2.2 % at 3; outside up to 5 %
 * at 2, 12 % at 1 and 22 % at 0.5. With slip within 0.8 % down to films of 1.3 mean free paths; first-order slip itself is an estimate below 10. Fitted to 110 direct
 * solutions on a grid of gE and p0/pa, held against 360 others all over the range of winders and against a second solver. Not compared with measured nips.
 */
export function keptNipFilm(nip: NipTerms, speedMPerS: number): number {
  const viscous = nip.viscousPerSpeedSPerM * speedMPerS;
  const fifth = viscous ** 0.2;
  const square = fifth * fifth;
  const incompressibleM = (0.4453 + 0.1125 * square) * square * fifth * nip.gapScaleM;
  const inlet = (nip.pressureRatio * fifth) / (1 + 0.6595 * square);
  const root = Math.sqrt(inlet);
  const compression = 1 + (inlet * (1.2872 + 0.0754 * root)) / (1 + 0.683 * root);
  const suction = 1 + (0.0478 * square) / (1 + 0.02 * square);
  const withoutSlipM = (incompressibleM * compression) / suction;
  const slipPath = 1 + (0.15 * inlet) / (1.6 + inlet);
  return filmWithSlip(withoutSlipM, slipPath * nip.meanFreePathM);
}

/**
 * Film in the middle of the nip, m: the air that is kept, squeezed to the pressure there ({@link centrePressureRatio}), `kept/(1 + (p0/pa)(1 - 0.24 lam^0.68))`. Mass balance where the pressure is highest
 * (slip does not change it). The bracket is how far the film spreads the load beyond the dry contact (own fit); within 2 % of own direct solutions for gE > 5.
 */
export function filmInsideNip(
  nip: NipTerms,
  centrePressureRatio: number,
  keptFilmM: number,
  speedMPerS: number,
): number {
  const spread = Math.max(0, 1 - 0.24 * (nip.viscousPerSpeedSPerM * speedMPerS) ** 0.68);
  return keptFilmM / (1 + spread * centrePressureRatio);
}
