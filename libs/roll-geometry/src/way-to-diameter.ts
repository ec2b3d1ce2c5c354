import { type Known, type Quantity, known, reason, unknown } from '@edge-margin/units';
import { squaredDiameterPerFace } from './build-up.js';
import { positive } from './positive.js';

/** Below this a winder counts as standing: the slowest speed that a plant may plan. Own choice. */
const creepMPerS = 0.01;

/** How far a roll still is from a diameter. */
export interface WayToDiameter {
  /** Length still to wind, m; 0 where the diameter is reached. */
  readonly lengthM: Quantity;
  /** Time that takes at the present speed, s. */
  readonly durationS: Quantity;
}

/** Present state of a roll and the diameter asked for. */
export interface WayQuestion {
  readonly diameterM: Quantity;
  readonly layerThicknessM: Quantity;
  readonly speedMPerS: Quantity;
  /** Diameter asked for, m, > 0. */
  readonly toDiameterM: number;
}

/**
 * Length and time to a diameter from what is known of the roll now: `L = pi (D2^2 - D^2) / (4 h)`, `t = L / V`.
 * Uncertainty, first order (JCGM 100:2008, 5.1.2), D, h and V independent: `u(L)^2 = (pi D u(D) / (2 h))^2 + (L u(h) / h)^2`,
 * `u(t)^2 = (u(L) / V)^2 + (t u(V) / V)^2`. It says how well the geometry is known, not whether the speed will stay.
 * Unknown inputs pass on their reason; a standing winder has a length but no time. A diameter already reached gives 0.
 * @param question present diameter, layer thickness (> 0) and speed, and the diameter asked for.
 */
export function wayToDiameter(question: WayQuestion): WayToDiameter {
  const { diameterM, layerThicknessM, speedMPerS } = question;
  const to = positive('toDiameterM', question.toDiameterM, 'm');
  if (diameterM.kind === 'unknown') return { lengthM: diameterM, durationS: diameterM };
  if (layerThicknessM.kind === 'unknown') return { lengthM: layerThicknessM, durationS: layerThicknessM };
  const lengthM = lengthStillToWind(diameterM, layerThicknessM, to);
  return { lengthM, durationS: speedMPerS.kind === 'unknown' ? speedMPerS : timeFor(lengthM, speedMPerS) };
}

function lengthStillToWind(diameter: Known, layer: Known, toDiameterM: number): Known {
  const perLength = squaredDiameterPerFace * positive('layerThicknessM', layer.value, 'm');
  const length = Math.max(0, (toDiameterM - diameter.value) * (toDiameterM + diameter.value)) / perLength;
  const fromDiameter = (2 * diameter.value * diameter.uncertainty) / perLength;
  return known(length, Math.hypot(fromDiameter, (length * layer.uncertainty) / layer.value));
}

function timeFor(length: Known, speed: Known): Quantity {
  if (length.value === 0) return known(0, 0);
  if (speed.value < creepMPerS)
    return unknown(
      reason('winder-standing', 'the winder stands, so no time can be told', { speedMPerS: speed.value }),
    );
  const duration = length.value / speed.value;
  return known(
    duration,
    Math.hypot(length.uncertainty / speed.value, (duration * speed.uncertainty) / speed.value),
  );
}
