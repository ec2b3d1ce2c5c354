/**
 * Share of the friction that is left between wraps on an air film: 1 up to the combined roughness, 0 from three times it, a straight
 * line between: `(3 - h/sigma)/2`.
 *
 * Source: Ducotey & Good 1999, Journal of Tribology 121, 618 (that traction is minimal above 3 sigma: abstract; the line: from memory);
 * break points also by Walker 2006, after work at Oklahoma State. Asperity-spring models smooth the corners and agree at the ends.
 * @param filmM film thickness, m, >= 0.
 * @param combinedRoughnessM combined rms roughness, m, > 0.
 */
export function tractionRatio(filmM: number, combinedRoughnessM: number): number {
  return Math.min(1, Math.max(0, (3 - filmM / combinedRoughnessM) / 2));
}
