import { known, reason, unknown } from '@edge-margin/units';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { chanceAbove } from './chance-above.js';
import { normalCdf } from './normal-cdf.js';

/** Simpson's rule over the density, independent of series and continued fraction. */
function byIntegration(z: number): number {
  const steps = 20_000;
  const from = -12;
  const width = (z - from) / steps;
  const density = (x: number) => Math.exp(-0.5 * x * x) / Math.sqrt(2 * Math.PI);
  let sum = density(from) + density(z);
  for (let k = 1; k < steps; k += 1) sum += (k % 2 === 1 ? 4 : 2) * density(from + k * width);
  return (sum * width) / 3;
}

describe('normal distribution', () => {
  it('agrees with published values (tables of the normal distribution, as commonly printed)', () => {
    const rows = [
      [1, 0.841344746068543],
      [1.96, 0.97500210485178],
      [3, 0.99865010196837],
      [-5, 2.866515718791939e-7],
      [-10, 7.619853024160527e-24],
    ] as const;
    for (const [z, p] of rows) expect(Math.abs(normalCdf(z) / p - 1)).toBeLessThan(1e-12);
  });

  it('agrees with integrating the density, over the whole range that risk uses', () => {
    for (let z = -7.5; z <= 7.5; z += 0.125) {
      // Simpson at 20 000 steps is good to about 1e-12 relative here.
      expect(Math.abs(normalCdf(z) / byIntegration(z) - 1)).toBeLessThan(1e-10);
    }
  });

  it('is what 120 terms of the continued fraction give, bit by bit', () => {
    const tail = (z: number): number => {
      let fraction = z;
      for (let k = 120; k >= 1; k -= 1) fraction = z + k / fraction;
      return Math.exp(-0.5 * z * z) / Math.sqrt(2 * Math.PI) / fraction;
    };
    for (let z = 3; z < 45; z += 0.000_7) {
      if (normalCdf(-z) !== tail(z) || normalCdf(z) !== 1 - tail(z)) expect.fail(`differs at ${z}`);
    }
  });

  it('has no seam where series and continued fraction meet', () => {
    for (const z of [-3, 3]) {
      const below = normalCdf(z - 1e-12);
      const above = normalCdf(z + 1e-12);
      expect(above).toBeGreaterThanOrEqual(below);
      expect(Math.abs(above / below - 1)).toBeLessThan(1e-11);
    }
  });

  it('is symmetric, rises, and stays between 0 and 1', () => {
    const any = fc.double({ min: -60, max: 60, noNaN: true });
    fc.assert(
      fc.property(any, any, (a, b) => {
        expect(Math.abs(normalCdf(a) + normalCdf(-a) - 1)).toBeLessThan(1e-15 * 4);
        const [low, high] = a < b ? [a, b] : [b, a];
        // Rounding may turn neighbours round by the last digit.
        expect(normalCdf(high) - normalCdf(low)).toBeGreaterThan(-1e-15);
        expect(normalCdf(a)).toBeGreaterThanOrEqual(0);
        expect(normalCdf(a)).toBeLessThanOrEqual(1);
      }),
    );
    expect(normalCdf(Infinity)).toBe(1);
    expect(normalCdf(-Infinity)).toBe(0);
    expect(normalCdf(0)).toBe(0.5);
    expect(() => normalCdf(Number.NaN)).toThrow('z: a number is needed, got NaN');
  });
});

describe('chance above a limit', () => {
  it('is one half at the limit, and 84 % one standard uncertainty beyond', () => {
    expect(chanceAbove(known(0.8, 0.1), 0.8)).toEqual(known(0.5));
    expect(chanceAbove(known(0.9, 0.1), 0.8)).toMatchObject({ value: expect.closeTo(0.8413447, 6) });
  });

  it('is 0, one half or 1 for a quantity without uncertainty', () => {
    expect([0.7, 0.8, 0.9].map((value) => chanceAbove(known(value), 0.8))).toEqual([
      known(0),
      known(0.5),
      known(1),
    ]);
  });

  it('passes on why a quantity is not known', () => {
    const stale = unknown(reason('stale', 'no reading for 12 s'));
    expect(chanceAbove(stale, 1)).toBe(stale);
    expect(() => chanceAbove(known(1), Infinity)).toThrow(/limit/);
  });
});
