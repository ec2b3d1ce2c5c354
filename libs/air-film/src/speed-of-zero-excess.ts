import { bracketedRoot } from './bracketed-root.js';

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
  if (excess(highestMPerS) < 0) return undefined;
  let high = highestMPerS;
  let low = high / 30;
  while (excess(low) > 0) {
    if (low < lowestShare * highestMPerS) return low;
    high = low;
    low /= 1000;
  }
  const atLogarithm = (logarithm: number) => excess(Math.exp(logarithm));
  return Math.exp(bracketedRoot(atLogarithm, Math.log(low), Math.log(high), tolerance));
}
