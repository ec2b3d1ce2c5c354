import { inRange } from '../in-range.js';
import { greatestThinness, layerRatio } from './layer-ratio.js';

/** A roller with a bonded cover, pressed on a roll that counts as rigid. */
export interface LayeredNip {
  /** Nip load per contact width, N/m, >= 0. */
  readonly loadNPerM: number;
  /** `1/R = 1/R_roller + 1/R_roll`, m. */
  readonly reducedRadiusM: number;
  /** Young's modulus of the cover, Pa. */
  readonly coverModulusPa: number;
  /** Poisson ratio of the cover, 0 to 0.5. */
  readonly coverPoissonRatio: number;
  readonly coverThicknessM: number;
}

/** The dry contact of a covered roller. */
export interface LayeredContact {
  /** Half the width of the contact in running direction, m. */
  readonly halfWidthM: number;
  readonly peakPressurePa: number;
  /** Approach of roller and roll by the load, m: what the cover can follow of an uneven roll. */
  readonly indentationM: number;
  /** Stiffness against a further approach, N/m per m of contact width. */
  readonly stiffnessNPerM2: number;
  /** Load over the load that makes the same half width in a half-space, >= 1; 1 for a thick cover. */
  readonly layerFactor: number;
  /** True above 8 Hertz half widths to the cover thickness, where the numbers are continued by their power law. */
  readonly extrapolated: boolean;
}

/**
 * Half width, peak pressure, indentation and stiffness of the nip of a covered roller, whatever the ratio of contact to cover thickness.
 *
 * Hertz' line contact (`a_H = sqrt(4 w R/(pi E*))`, `p_H = 2 w/(pi a_H)`, `E* = E/(1 - nu^2)`) times the ratios of own numerical solutions of the bonded layer, see
 * {@link layerRatio}. A half-space alone has no finite indentation; the cover makes it finite. Load 0: no contact, all 0.
 *
 * Validity: plane strain, no friction in the nip, strain of the cover (indentation over thickness) below about 0.15 (own estimate of where linear elasticity ends). The winding roll counts as
 * rigid: a bulky roll is often softer than the cover and acts in series, so that indentation is a lower and stiffness an upper bound. Modulus and Poisson ratio decide: at nu 0.5 against 0.45
 * the stiffness differs by a third at `a_H = t`, by a factor of 2.5 at 8.
 * @throws RangeError if a number makes no sense.
 */
export function layeredContact(nip: LayeredNip): LayeredContact {
  checkNip(nip);
  const { loadNPerM, reducedRadiusM, coverThicknessM } = nip;
  if (loadNPerM === 0) return openNip;
  const reducedModulusPa = nip.coverModulusPa / (1 - nip.coverPoissonRatio ** 2);
  const hertzM = Math.sqrt((4 * loadNPerM * reducedRadiusM) / (Math.PI * reducedModulusPa));
  const place = { thinness: hertzM / coverThicknessM, poissonRatio: nip.coverPoissonRatio };
  const halfWidthRatio = layerRatio('halfWidth', place);
  return {
    halfWidthM: hertzM * halfWidthRatio,
    peakPressurePa: ((2 * loadNPerM) / (Math.PI * hertzM)) * layerRatio('peakPressure', place),
    indentationM: (coverThicknessM ** 2 / reducedRadiusM) * layerRatio('indentation', place),
    stiffnessNPerM2: reducedModulusPa * layerRatio('stiffness', place),
    layerFactor: 1 / (halfWidthRatio * halfWidthRatio),
    extrapolated: place.thinness > greatestThinness,
  };
}

const openNip: LayeredContact = {
  halfWidthM: 0,
  peakPressurePa: 0,
  indentationM: 0,
  stiffnessNPerM2: 0,
  layerFactor: 1,
  extrapolated: false,
};

/**
 * Checks a covered nip.
 * @throws RangeError naming parameter, value, unit and range.
 */
export function checkNip(nip: LayeredNip): void {
  if (isSensible(nip)) return;
  inRange({ name: 'loadNPerM', value: nip.loadNPerM, unit: 'N/m', low: 0, high: 1e6 });
  inRange({ name: 'reducedRadiusM', value: nip.reducedRadiusM, unit: 'm', low: 1e-3, high: 10 });
  inRange({ name: 'coverModulusPa', value: nip.coverModulusPa, unit: 'Pa', low: 1e4, high: 1e13 });
  inRange({ name: 'coverPoissonRatio', value: nip.coverPoissonRatio, unit: '1', low: 0, high: 0.5 });
  inRange({ name: 'coverThicknessM', value: nip.coverThicknessM, unit: 'm', low: 1e-5, high: 1 });
}

/** The same without the words: this stands in the innermost loop of searches. */
function isSensible(nip: LayeredNip): boolean {
  return (
    nip.loadNPerM >= 0 &&
    nip.loadNPerM <= 1e6 &&
    nip.reducedRadiusM >= 1e-3 &&
    nip.reducedRadiusM <= 10 &&
    nip.coverModulusPa >= 1e4 &&
    nip.coverModulusPa <= 1e13 &&
    nip.coverPoissonRatio >= 0 &&
    nip.coverPoissonRatio <= 0.5 &&
    nip.coverThicknessM >= 1e-5 &&
    nip.coverThicknessM <= 1
  );
}
