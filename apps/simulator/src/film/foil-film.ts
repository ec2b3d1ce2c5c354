import { power } from '../math/portable-math.js';

/**
 * Film thickness under a web that wraps a roll, with nothing to exclude the air (m).
 *
 * `h = K R (12 mu V/T)^(2/3)`, web and roll surface at the same speed. K is the curvature that the one solution of
 * `H''' = (1 - H)/H^3` which is flat in the wrap reaches far upstream (Blok & van Rossum 1953; Eshel & Elrod 1965);
 * the test marches that equation and finds 0.64304. Gas compression and slip (below 1 % here) are left out: the hidden bias is larger.
 */
export interface FoilCase {
  readonly viscosityPaS: number;
  readonly speedMPerS: number;
  readonly rollRadiusM: number;
  readonly tensionNPerM: number;
}

export const INLET_CURVATURE = 0.64304;

/** {@link FoilCase}; 0 at standstill. */
export function foilFilmM(at: FoilCase): number {
  if (at.speedMPerS <= 0) return 0;
  return (
    INLET_CURVATURE * at.rollRadiusM * power((12 * at.viscosityPaS * at.speedMPerS) / at.tensionNPerM, 2 / 3)
  );
}
