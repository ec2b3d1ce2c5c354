import { PI } from '../math/portable-math.js';

/**
 * Turns that a roll makes to take up a length of web.
 *
 * The web lies on a spiral whose radius grows by one layer a turn, `dr = h/(2 pi) dtheta`, `ds = r dtheta`; so
 * `s = r0 theta + h theta^2/(4 pi)`, solved for theta without cancellation.
 */
export function spiralTurns(at: {
  readonly radiusM: number;
  readonly layerM: number;
  readonly lengthM: number;
}): number {
  const { radiusM: r, layerM: h, lengthM: s } = at;
  return (2 * s) / (r + Math.sqrt(r * r + (h * s) / PI)) / (2 * PI);
}

/** Web that takes a roll from one diameter to another: `L = pi (D2^2 - D1^2)/(4 h)`. */
export function lengthBetween(fromDiameterM: number, toDiameterM: number, layerM: number): number {
  return (PI * (toDiameterM * toDiameterM - fromDiameterM * fromDiameterM)) / (4 * layerM);
}
