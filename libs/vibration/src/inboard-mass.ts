import { type Quantity, known } from '@edge-margin/units';
import { positive } from './positive.js';

/**
 * Nip force at one instant from a load cell that has mass between itself and the nip: `N = Fcell + m_i a`. Source: momentum of the inboard mass (own derivation).
 * @param cellForceN force in the cell, N.
 * @param inboardMassKg mass m_i between cell and nip, kg, > 0.
 * @param accelerationMPerS2 acceleration of that mass, m/s2, positive **away** from the winding roll (minus the signal `nipAcceleration`).
 */
export function nipForceFromCell(
  cellForceN: number,
  inboardMassKg: number,
  accelerationMPerS2: number,
): number {
  return cellForceN + positive('inboardMassKg', inboardMassKg, 'kg') * accelerationMPerS2;
}

/**
 * Swing of the nip load from the swing that an outboard load cell sees: `s = s_cell m / (m - m_i)`.
 * The cell carries `F + (m - m_i) a` where the nip carries `F + m a`: with 150 of 200 kg inboard it swings by 25 % when the nip lifts off (own derivation).
 * Valid while the closing force behind the cell is constant and contact lasts.
 * @param cellSwing swing as the cell shows it, 1; unknown stays unknown with its reason.
 * @param effectiveMassKg all of the mass reduced to the nip, m, kg.
 * @param inboardMassKg share of it between cell and nip, m_i, kg, >= 0 and below m.
 */
export function swingAtNip(cellSwing: Quantity, effectiveMassKg: number, inboardMassKg: number): Quantity {
  positive('effectiveMassKg', effectiveMassKg, 'kg');
  if (!(inboardMassKg >= 0 && inboardMassKg < effectiveMassKg)) {
    throw new RangeError(
      `inboardMassKg: at least 0 kg and below ${effectiveMassKg} kg is needed, got ${inboardMassKg} kg`,
    );
  }
  if (cellSwing.kind === 'unknown') return cellSwing;
  const factor = effectiveMassKg / (effectiveMassKg - inboardMassKg);
  return known(factor * cellSwing.value, factor * cellSwing.uncertainty);
}
