import { filmWithSlip } from './slip.js';

/** Conditions of a foil bearing that do not change with the speed. */
export interface FoilTerms {
  /** Radius of the surface under the web, m: the winding roll's. */
  readonly radiusM: number;
  readonly viscosityPaS: number;
  /** Ambient pressure, Pa. */
  readonly pressurePa: number;
  /** At ambient pressure, m. */
  readonly meanFreePathM: number;
}

/**
 * The constant of the foil bearing: the limit H'' -> K of `H''' = (1 - H)/H^3` upstream of H = 1.
 * Blok & van Rossum 1953 (Lubrication Engineering 9), Eshel & Elrod 1965 (Journal of Basic Engineering 87), from memory: 0.643; the fifth
 * digit is from own integration. Handbooks round to 0.65.
 */
export const foilConstant = 0.64304;

/**
 * Thickness of the air film under a web that nothing presses on its roll but its tension, m, at the pressure in the wrap, pa + T/R.
 *
 * `h0 = K R (6 mu (V1 + V2) / T)^(2/3)`, K = 0.64304, times two small corrections from own integration of the foil equation:
 * compressibility `1/(1 + 0.4525 tau/(1 + 0.222 tau))` with tau = T/(R pa), within 0.05 % for tau <= 1; and slip ({@link filmWithSlip}).
 * The speed is the SUM of both surfaces' speeds: 2 V on a winding roll.
 *
 * Validity: wrap long and web wide against `h0 (6 mu (V1 + V2)/T)^(-1/3)`, perfectly flexible impermeable smooth web, no inertia of the air.
 * @param speedSumMPerS sum of the surface speeds of web and roll, m/s, >= 0.
 * @param netTensionNPerM tension per width less inertia, N/m, > 0 ({@link netTension}).
 */
export function foilFilm(foil: FoilTerms, speedSumMPerS: number, netTensionNPerM: number): number {
  const tau = netTensionNPerM / (foil.radiusM * foil.pressurePa);
  const withoutSlipM = foilFilmWithoutSlip(foil, speedSumMPerS, netTensionNPerM);
  return filmWithSlip(withoutSlipM, foil.meanFreePathM / (1 + tau));
}

/** A film that {@link foilFilm} is never below, m: slip takes less than two mean free paths. Costs a fraction of it. */
export function foilFilmAtLeast(foil: FoilTerms, speedSumMPerS: number, netTensionNPerM: number): number {
  return foilFilmWithoutSlip(foil, speedSumMPerS, netTensionNPerM) - 2 * foil.meanFreePathM;
}

function foilFilmWithoutSlip(foil: FoilTerms, speedSumMPerS: number, netTensionNPerM: number): number {
  const entrance = Math.cbrt((6 * foil.viscosityPaS * speedSumMPerS) / netTensionNPerM);
  const tau = netTensionNPerM / (foil.radiusM * foil.pressurePa);
  const compressibility = 1 + (0.4525 * tau) / (1 + 0.222 * tau);
  return (foilConstant * foil.radiusM * entrance * entrance) / compressibility;
}
