import { type Quantity, known, unknown, type Unknown } from '@edge-margin/units';
import { normalCdf } from '@edge-margin/vibration';

/**
 * Chance (0..1) that a value with a normal error lies at or beyond its limit from below.
 * A value without uncertainty gives 0 or 1, and 0.5 exactly at the limit.
 */
export function chanceBeyond({
  value,
  uncertainty,
  limit,
}: {
  readonly value: number;
  readonly uncertainty: number;
  readonly limit: number;
}): number {
  if (uncertainty === 0) return value === limit ? 0.5 : value > limit ? 1 : 0;
  return normalCdf((value - limit) / uncertainty);
}

/**
 * Edge risk of unlike mechanisms together: 1 - product of (1 - p), for mechanisms that act independently.
 * If one of them is not known the risk is not known, never low.
 */
export function combinedChance(chances: readonly Quantity[]): Quantity {
  const missing = chances.find((chance): chance is Unknown => chance.kind === 'unknown');
  if (missing !== undefined) return unknown(missing.because);
  return known(1 - chances.reduce((clear, chance) => clear * (1 - (chance as { value: number }).value), 1));
}

/** The last answer of {@link normalQuantile}: a site has one limit, and asks for it every second for each of its stations. */
let lastQuantile = { p: Number.NaN, deviations: 0 };

/** The number of standard deviations below which a normal value lies with chance `p` (0 < p < 1), to 1e-9: the inverse of the normal distribution. */
export function normalQuantile(p: number): number {
  if (!(p > 0 && p < 1))
    throw new RangeError(`p: a chance between 0 and 1 (not included) is needed, got ${p}`);
  if (lastQuantile.p !== p) lastQuantile = { p, deviations: quantileOf(p) };
  return lastQuantile.deviations;
}

function quantileOf(p: number): number {
  let low = -9;
  let high = 9;
  while (high - low > 1e-9) {
    const middle = (low + high) / 2;
    if (normalCdf(middle) < p) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
