import { type Quantity, known } from '@edge-margin/units';
import { normalCdf } from './normal-cdf.js';

/**
 * Chance that a quantity lies above a limit, its error being normal: `p = Phi((x - limit) / u)` (JCGM 106:2012, clause 7, from memory). At the limit it is one half.
 * A quantity without uncertainty is below (0), at (0.5) or above (1) it. What is not known has no chance: the reason is passed on.
 * @param quantity any unit.
 * @param limit same unit, finite.
 * @returns 0..1, dimensionless, uncertainty 0.
 */
export function chanceAbove(quantity: Quantity, limit: number): Quantity {
  if (!Number.isFinite(limit)) throw new RangeError(`limit: a finite number is needed, got ${limit}`);
  if (quantity.kind === 'unknown') return quantity;
  const over = quantity.value - limit;
  // No uncertainty and no distance would be 0/0: it lies on the limit.
  return known(over === 0 ? 0.5 : normalCdf(over / quantity.uncertainty));
}
