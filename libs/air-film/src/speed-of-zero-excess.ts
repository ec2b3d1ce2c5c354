import { rootWithin } from './bracketed-root.js';

/** Lowest speed that the search looks at, as a share of the highest. */
const lowestShare = 1e-14;
/** On the logarithm of the speed. */
const tolerance = 1e-11;

/**
 * The speed at which a steadily rising excess becomes 0, m/s, or undefined if it is still below 0 at the highest speed.
 * If it is above 0 even at a 1e-14th of the highest speed, that speed is given: as good as any speed.
 * @param excess rises with the speed; `-Infinity` is allowed.
 */
export function speedOfZeroExcess(
  excess: (speedMPerS: number) => number,
  highestMPerS: number,
): number | undefined {
  // Every speed is looked at by its logarithm, so that what was found out at the ends serves the search between them.
  const atLogarithm = (logarithm: number) => excess(Math.exp(logarithm));
  let high = Math.log(highestMPerS);
  let atHigh = atLogarithm(high);
  if (atHigh < 0) return undefined;
  let lowMPerS = highestMPerS / 30;
  let low = Math.log(lowMPerS);
  let atLow = atLogarithm(low);
  while (atLow > 0) {
    if (lowMPerS < lowestShare * highestMPerS) return lowMPerS;
    high = low;
    atHigh = atLow;
    lowMPerS /= 1000;
    low = Math.log(lowMPerS);
    atLow = atLogarithm(low);
  }
  return Math.exp(rootWithin(atLogarithm, { low, atLow, high, atHigh }, tolerance));
}
