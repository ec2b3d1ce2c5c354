/** Two points with the values there, between which a function changes its sign. */
export interface Bracket {
  readonly low: number;
  readonly atLow: number;
  readonly high: number;
  readonly atHigh: number;
}

/**
 * Where a function changes its sign between two points: inverse quadratic interpolation where it is trustworthy, bisection where not, so
 * that it always ends. Source: Chandrupatla 1997, Advances in Engineering Software 28, 145.
 * @param evaluate continuous; infinite values are allowed.
 * @param low and `high`: `evaluate` must have opposite signs there (0 counts as either).
 * @param tolerance absolute, on the argument.
 * @throws RangeError if the signs are equal.
 */
export function bracketedRoot(
  evaluate: (x: number) => number,
  low: number,
  high: number,
  tolerance: number,
): number {
  return rootWithin(evaluate, { low, atLow: evaluate(low), high, atHigh: evaluate(high) }, tolerance);
}

/** {@link bracketedRoot} where the values at both ends are known already: each is as dear as one step of the search. */
export function rootWithin(evaluate: (x: number) => number, bracket: Bracket, tolerance: number): number {
  const { low, high } = bracket;
  let a = high;
  let b = low;
  let fa = bracket.atHigh;
  let fb = bracket.atLow;
  if (fa === 0) return a;
  if (fb === 0) return b;
  if (fa > 0 === fb > 0)
    throw new RangeError(`low, high: opposite signs are needed, got ${fb} at ${low} and ${fa} at ${high}`);
  let share = 0.5;
  for (let step = 0; step < 200; step += 1) {
    const x = a + share * (b - a);
    const fx = evaluate(x);
    // c, fc: the point that falls out of the bracket.
    const keepsSide = fx > 0 === fa > 0;
    const c = keepsSide ? a : b;
    const fc = keepsSide ? fa : fb;
    if (!keepsSide) {
      b = a;
      fb = fa;
    }
    a = x;
    fa = fx;
    const least = tolerance / Math.abs(b - a);
    if (fa === 0 || least > 0.5) return Math.abs(fa) < Math.abs(fb) ? a : b;
    share = Math.min(1 - least, Math.max(least, interpolatedShare(a, fa, b, fb, c, fc)));
  }
  return a;
}

/** Where between a (0) and b (1) the root lies by the parabola through three points, 0.5 where that cannot be trusted. */
function interpolatedShare(a: number, fa: number, b: number, fb: number, c: number, fc: number): number {
  const xi = (a - b) / (c - b);
  const phi = (fa - fb) / (fc - fb);
  if (!(phi * phi < xi && (1 - phi) * (1 - phi) < 1 - xi)) return 0.5;
  const share =
    ((fa / (fb - fa)) * fc) / (fb - fc) + ((((c - a) / (b - a)) * fa) / (fc - fa)) * (fb / (fc - fb));
  return Number.isFinite(share) ? share : 0.5;
}
