/** One wrap over its film, with the pressure that its own tension makes. */
export interface SingleWrap {
  readonly fromFilmM: number;
  readonly toFilmM: number;
  /** Gauge pressure in the film, Pa, > 0: T/R for the outermost wrap. */
  readonly pressurePa: number;
  readonly widthM: number;
  readonly permeanceMPerPaS: number;
  readonly viscosityPaS: number;
}

/**
 * Time in which a wrap at constant pressure sinks from one film to another, s: `integral of dh/(P p + p h^3/(mu w^2))`.
 *
 * Limits: airtight web `(1/h1^2 - 1/h0^2) mu w^2/(2 p)` (side leakage, own derivation); wide web `(h0 - h1)/(P p)` (structure as in Ducotey & Good
 * 1998 on permeability and side leakage, from memory). Both together: closed form in `h/s` with `s^3 = P mu w^2`, the film at which web and
 * edges take the same. 0 where the film is there already.
 */
export function singleWrapVentingTime(wrap: SingleWrap): number {
  if (wrap.fromFilmM <= wrap.toFilmM) return 0;
  const sideM2PaS = wrap.viscosityPaS * wrap.widthM * wrap.widthM;
  const shareM = Math.cbrt(wrap.permeanceMPerPaS * sideM2PaS);
  if (shareM === 0) return ((wrap.toFilmM ** -2 - wrap.fromFilmM ** -2) * sideM2PaS) / (2 * wrap.pressurePa);
  const remaining = ventingIntegral(wrap.toFilmM / shareM) - ventingIntegral(wrap.fromFilmM / shareM);
  return (remaining * shareM) / (wrap.permeanceMPerPaS * wrap.pressurePa);
}

/** `integral of dx/(1 + x^3) from x to infinity`, with series at both ends where the closed form would cancel. */
function ventingIntegral(x: number): number {
  const whole = (2 * Math.PI) / (3 * Math.sqrt(3));
  if (x < 0.03) return whole - x + x ** 4 / 4;
  if (x > 30) return 1 / (2 * x * x) - 1 / (5 * x ** 5);
  const logarithm = Math.log((1 + x) ** 2 / (1 - x + x * x)) / 6;
  return Math.PI / (2 * Math.sqrt(3)) - logarithm - Math.atan((2 * x - 1) / Math.sqrt(3)) / Math.sqrt(3);
}
