/**
 * Numbers from 0 up to 1 that repeat with their seed: good enough to choose the moments of kills (a linear congruential generator, constants of
 * Numerical Recipes, from memory).
 */
export function seededRandom(seed: number): () => number {
  let state = seed >>> 0;
  return () => (state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0) / 2 ** 32;
}
