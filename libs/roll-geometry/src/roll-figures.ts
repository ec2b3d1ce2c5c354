import { type Known, type Quantity, known } from '@edge-margin/units';
import { squaredDiameterPerFace } from './build-up.js';

/** Three quantities that belong to one build: what it grew from, the diameter or length reached, and the layer thickness. */
interface Build {
  /** Diameter of the core, m. */
  readonly coreDiameterM: Known;
  /** Layer thickness, m. */
  readonly layerThicknessM: Known;
}

/**
 * Diameter from wound length and layer thickness, `D = sqrt(D0^2 + 4 h L / pi)`, with first-order uncertainty (JCGM 100:2008, 5.1.2).
 * @param build core diameter and layer thickness, m, > 0.
 * @param lengthM wound length, m; unknown stays unknown with its reason, negative (an encoder that ran back at the core) counts as 0.
 */
export function diameterFromLength(build: Build, lengthM: Quantity): Quantity {
  if (lengthM.kind === 'unknown') return lengthM;
  const { coreDiameterM: core, layerThicknessM: layer } = build;
  const length = Math.max(0, lengthM.value);
  const diameter = Math.sqrt(core.value ** 2 + squaredDiameterPerFace * layer.value * length);
  const fromLayer =
    squaredDiameterPerFace * Math.hypot(length * layer.uncertainty, layer.value * lengthM.uncertainty);
  return known(diameter, Math.hypot(fromLayer, 2 * core.value * core.uncertainty) / (2 * diameter));
}

/**
 * Wound length from a diameter and the layer thickness, `L = pi (D^2 - D0^2) / (4 h)`, with first-order uncertainty.
 * @param build core diameter and layer thickness, m, > 0.
 * @param diameterM diameter reached, m; unknown stays unknown with its reason, below the core counts as the core.
 */
export function lengthFromDiameter(build: Build, diameterM: Quantity): Quantity {
  if (diameterM.kind === 'unknown') return diameterM;
  const { coreDiameterM: core, layerThicknessM: layer } = build;
  const perLength = squaredDiameterPerFace * layer.value;
  const length = Math.max(0, diameterM.value ** 2 - core.value ** 2) / perLength;
  const fromDiameters =
    (2 * Math.hypot(diameterM.value * diameterM.uncertainty, core.value * core.uncertainty)) / perLength;
  return known(length, Math.hypot(fromDiameters, (length * layer.uncertainty) / layer.value));
}

/**
 * Number of wraps from a diameter and the layer thickness, `N = (D - D0) / (2 h)`, with first-order uncertainty.
 * @param build core diameter and layer thickness, m, > 0.
 * @param diameterM diameter reached, m; unknown stays unknown with its reason, below the core counts as the core.
 */
export function wrapsFromDiameter(build: Build, diameterM: Quantity): Quantity {
  if (diameterM.kind === 'unknown') return diameterM;
  const { coreDiameterM: core, layerThicknessM: layer } = build;
  const wraps = Math.max(0, diameterM.value - core.value) / (2 * layer.value);
  const fromDiameters = Math.hypot(diameterM.uncertainty, core.uncertainty) / (2 * layer.value);
  return known(wraps, Math.hypot(fromDiameters, (wraps * layer.uncertainty) / layer.value));
}
