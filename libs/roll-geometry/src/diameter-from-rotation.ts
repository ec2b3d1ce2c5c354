import { type Quantity, known, reason, unknown } from '@edge-margin/units';

/** Slower than a turn in a thousand seconds the roll counts as standing. Own choice. */
const slowestHz = 0.001;

/**
 * Diameter from web speed and core rotation: `D = V / (pi f)`, the web arriving without slip on the outermost wrap.
 * Uncertainty (JCGM 100:2008, 5.1.2): `u(D)/D = sqrt((u(V)/V)^2 + (u(f)/f)^2)`.
 * A standing or creeping roll gives no diameter: V or f not above 3 of its own standard uncertainties, where first order no longer holds, or less than a turn in 1000 s.
 * @param measured web speed, m/s; rotation frequency of the core, 1/s (revolutions, not radians, per second).
 */
export function diameterFromRotation(measured: {
  readonly speedMPerS: Quantity;
  readonly coreRotationHz: Quantity;
}): Quantity {
  const { speedMPerS: speed, coreRotationHz: rotation } = measured;
  if (speed.kind === 'unknown') return speed;
  if (rotation.kind === 'unknown') return rotation;
  if (
    speed.value <= 3 * speed.uncertainty ||
    rotation.value <= Math.max(slowestHz, 3 * rotation.uncertainty)
  ) {
    return unknown(
      reason('roll-standing', 'the roll does not turn fast enough to tell its diameter', {
        speedMPerS: speed.value,
        coreRotationHz: rotation.value,
      }),
    );
  }
  const diameterM = speed.value / (Math.PI * rotation.value);
  return known(
    diameterM,
    diameterM * Math.hypot(speed.uncertainty / speed.value, rotation.uncertainty / rotation.value),
  );
}
