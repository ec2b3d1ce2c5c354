import { notNegative, positive } from './positive.js';

/**
 * Growth of the squared diameter per wound length and layer thickness: the end face is covered by the web seen from its side,
 * pi/4 (D^2 - D0^2) = h L.
 */
export const squaredDiameterPerFace = 4 / Math.PI;

/** What relates wound length and diameter. */
export interface BuildUp {
  /** Diameter at which the length is counted from 0, m, > 0; mostly the core. */
  readonly startDiameterM: number;
  /** Radial thickness of one wrap as it lies in the roll, caliper and wound-in air together, m, > 0. */
  readonly layerThicknessM: number;
}

/**
 * Diameter after a length has been wound: `D = sqrt(D0^2 + 4 h L / pi)`.
 * Source: conservation of the area of the end face (own derivation; a spiral summed wrap by wrap agrees to 1e-8).
 * Valid for h much smaller than D0, in a roll whose layers keep one mean thickness; pressure that thins the inner wraps later is in that mean.
 * A negative length unwinds.
 * @param buildUp start diameter and layer thickness.
 * @param lengthM wound length, m, finite; L = 0 gives D0.
 * @throws RangeError if less than nothing would be left.
 */
export function diameterAfterLength({ startDiameterM, layerThicknessM }: BuildUp, lengthM: number): number {
  const start = positive('startDiameterM', startDiameterM, 'm');
  const grown = squaredDiameterPerFace * positive('layerThicknessM', layerThicknessM, 'm') * lengthM;
  return Math.sqrt(notNegative('lengthM (as squared diameter)', start * start + grown, 'm2'));
}

/**
 * Length that brings a roll from the start diameter to another: `L = pi (D^2 - D0^2) / (4 h)`, the inverse of {@link diameterAfterLength}.
 * @param buildUp start diameter and layer thickness.
 * @param diameterM diameter to reach, m, > 0; smaller than the start diameter gives a negative length.
 */
export function lengthToDiameter({ startDiameterM, layerThicknessM }: BuildUp, diameterM: number): number {
  const start = positive('startDiameterM', startDiameterM, 'm');
  const end = positive('diameterM', diameterM, 'm');
  return (
    ((end - start) * (end + start)) /
    (squaredDiameterPerFace * positive('layerThicknessM', layerThicknessM, 'm'))
  );
}

/**
 * Number of wraps between the start diameter and another: `N = (D - D0) / (2 h)`; each wrap adds two layers to the diameter.
 * @param buildUp start diameter and layer thickness.
 * @param diameterM diameter reached, m, > 0; smaller than the start diameter gives a negative number.
 */
export function wrapsToDiameter({ startDiameterM, layerThicknessM }: BuildUp, diameterM: number): number {
  const start = positive('startDiameterM', startDiameterM, 'm');
  return (
    (positive('diameterM', diameterM, 'm') - start) / (2 * positive('layerThicknessM', layerThicknessM, 'm'))
  );
}

/**
 * Diameter after a number of wraps: `D = D0 + 2 h N`, the inverse of {@link wrapsToDiameter}.
 * @param buildUp start diameter and layer thickness.
 * @param wrapCount wraps, >= 0; parts of a wrap count.
 */
export function diameterAfterWraps({ startDiameterM, layerThicknessM }: BuildUp, wrapCount: number): number {
  const start = positive('startDiameterM', startDiameterM, 'm');
  return (
    start + 2 * positive('layerThicknessM', layerThicknessM, 'm') * notNegative('wrapCount', wrapCount, '1')
  );
}

/**
 * Mean layer thickness between two diameters: `h = pi (D^2 - D0^2) / (4 L)`. Less the caliper it is the air left between the wraps.
 * @param wound start diameter and end diameter, m, > 0; length wound between them, m, > 0.
 */
export function meanLayerThickness(wound: {
  readonly startDiameterM: number;
  readonly diameterM: number;
  readonly lengthM: number;
}): number {
  const start = positive('startDiameterM', wound.startDiameterM, 'm');
  const end = positive('diameterM', wound.diameterM, 'm');
  return ((end - start) * (end + start)) / (squaredDiameterPerFace * positive('lengthM', wound.lengthM, 'm'));
}
