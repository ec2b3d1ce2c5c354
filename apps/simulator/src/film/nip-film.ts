import { exponential, naturalLog, power } from '../math/portable-math.js';
import { cubicPlace } from './cubic-between.js';
import type { NipContact } from './nip-contact.js';
import { KEPT_FILM } from './nip-film-table.js';
import { LN_PRESSURE_AXIS, LN_SPEED_AXIS, SLIP_AXIS } from './table-axes.js';

const FASTEST = LN_SPEED_AXIS[LN_SPEED_AXIS.length - 1] as number;

/**
 * Air that a touching nip lets into the roll, as thickness at ambient pressure (m).
 *
 * Read from our own table of solutions of the gas-lubrication equations (`gas-nip-solution.ts`), cubic in the logarithms.
 * Validity: smooth faces, isothermal gas, half space, wide web that meets the roll in the nip; speed number 1e-5 to 3,
 * peak pressure 0.09 to 11 times ambient, slip number up to 0.5. Outside, the nearest end is taken; above speed number 3
 * the film goes on with the speed number (rigid cylinder: film inversely as load).
 */
export function nipFilmM(contact: NipContact): number {
  const lnSpeed = naturalLog(contact.speedNumber);
  const number = keptFilmNumber(lnSpeed, naturalLog(contact.pressureNumber), contact.slipNumber);
  const beyond = Math.max(0, lnSpeed - FASTEST);
  const scale = power(contact.speedNumber, 0.6) * (beyond > 0 ? exponential(0.4 * beyond) : 1);
  return (number * scale * contact.halfWidthM * contact.halfWidthM) / contact.radiusM;
}

/** Kept film over `speedNumber^0.6 b^2/R`. */
export function keptFilmNumber(lnSpeed: number, lnPressure: number, slip: number): number {
  const bySpeed = cubicPlace(LN_SPEED_AXIS, lnSpeed);
  const byPressure = cubicPlace(LN_PRESSURE_AXIS, lnPressure);
  const bySlip = cubicPlace(SLIP_AXIS, slip);
  let sum = 0;
  bySlip.weights.forEach((slipWeight, i) => {
    byPressure.weights.forEach((pressureWeight, j) => {
      const line = KEPT_FILM[(bySlip.first + i) * LN_PRESSURE_AXIS.length + byPressure.first + j];
      if (line === undefined) throw new RangeError('KEPT_FILM: the table is shorter than its axes');
      bySpeed.weights.forEach((speedWeight, k) => {
        sum += slipWeight * pressureWeight * speedWeight * (line[bySpeed.first + k] as number);
      });
    });
  });
  return sum;
}
