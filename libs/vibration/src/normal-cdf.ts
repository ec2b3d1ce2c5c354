/** From here on the continued fraction converges faster than the series, and does not cancel. */
const tailFrom = 3;
/** From here on the tail is lost in the rounding of its complement: it is below 2^-54. */
const aloneFrom = 8.5;
/** From here on the density is less than the smallest number. */
const nothingFrom = 39;

/** Terms of the continued fraction from which on more change no bit of it: held against 120 of them at 30 million places. */
function fractionTerms(z: number): number {
  return Math.min(120, Math.ceil(12 + 900 / (z * z)));
}

/**
 * Cumulative distribution of the standard normal: the chance that a value lies at or below `z` standard deviations above its mean.
 * For |z| < 3 by the series `1/2 + phi(z) (z + z^3/3 + z^5/(3 5) + ...)`, beyond by the continued fraction
 * `Q(z) = phi(z) / (z + 1/(z + 2/(z + 3/(z + ...))))`. Source: Abramowitz & Stegun 1964, 26.2.11 and 26.2.14.
 * Relative error below 1e-12 for the result and for its complement on the other side of 0; 0 and 1 beyond about 38 deviations.
 * @param z deviations, any number but NaN; infinite values give 0 or 1.
 */
export function normalCdf(z: number): number {
  if (Number.isNaN(z)) throw new RangeError('z: a number is needed, got NaN');
  if (z >= tailFrom) return z >= aloneFrom ? 1 : 1 - upperTail(z);
  if (z <= -tailFrom) return upperTail(-z);
  return 0.5 + centralPart(z);
}

function centralPart(z: number): number {
  let term = z;
  let sum = z;
  for (let odd = 3; Math.abs(term) > 1e-18 * Math.abs(sum); odd += 2) {
    term *= (z * z) / odd;
    sum += term;
  }
  return density(z) * sum;
}

function upperTail(z: number): number {
  if (z >= nothingFrom) return 0;
  let fraction = z;
  for (let k = fractionTerms(z); k >= 1; k -= 1) fraction = z + k / fraction;
  return density(z) / fraction;
}

function density(z: number): number {
  return Math.exp(-0.5 * z * z) / Math.sqrt(2 * Math.PI);
}
