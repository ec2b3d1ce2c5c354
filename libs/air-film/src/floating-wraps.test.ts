import { describe, expect, it } from 'vitest';
import { airTerms } from './air-terms.js';
import { floatingWraps } from './floating-wraps.js';
import { pointNumbers } from './point-numbers.js';

const terms = (widthM: number, tension: number, radius: number, boundaryUm: number, pressurePa: number) =>
  airTerms(
    pointNumbers({
      web: { widthM, caliperM: 2e-5, combinedRoughnessM: (boundaryUm * 1e-6) / 3, permeanceMPerPaS: 0 },
      nip: null,
      air: { viscosityPaS: 1.82e-5, pressurePa, meanFreePathM: 68e-9 },
      running: { speedMPerS: 1, rollDiameterM: 2 * radius, tensionNPerM: tension },
    }),
  );

/** Width m, V m/s, T N/m, R m, boundary and film um; wraps without compression, float time s, wraps with compression. */
const cases = [
  ['PET12', 1, 5, 100, 0.15, 0.3, 47.473, 1268.03, 239.0, 903],
  ['PET12 narrow', 0.05, 5, 100, 0.15, 0.3, 47.473, 62.93, 11.86, undefined],
  ['BOPP20 slow', 1.5, 1, 150, 0.25, 0.6, 20.65, 346.76, 544.7, 291],
  ['LWC as if airtight', 1, 25, 350, 0.4, 6, 160.578, 75.26, 7.566, 70],
  ['newsprint as if airtight', 1, 25, 300, 0.4, 15, 177.958, 32.14, 3.231, 32],
] as const;

describe('the number of floating wraps', () => {
  it.each(cases)(
    'of %s is that of own derivation without compression',
    (_, width, speed, tension, radius, boundary, film, wraps, timeS) => {
      const counted = floatingWraps(terms(width, tension, radius, boundary, 9e8), speed, film * 1e-6);
      // An atmosphere of 9e8 Pa still compresses the air by a hair: 0.1 %.
      expect(Math.abs(counted / wraps - 1)).toBeLessThan(0.001);
      expect(Math.abs((counted * 2 * Math.PI * radius) / speed / timeS - 1)).toBeLessThan(0.001);
    },
  );

  // Own derivation k ~ (w/hc) sqrt(mu V/(2 pi T)) for films far above the boundary.
  it.each([
    [1, 0.9, 5, 100, 422.85],
    [0.1, 0.9, 5, 100, 42.285],
    [1.5, 1.5, 7, 100, 450.29],
    [1, 4.5, 30, 350, 110.73],
  ])(
    '%s m wide, boundary %s um, is in proportion to width over boundary film',
    (width, boundary, speed, tension, wraps) => {
      const counted = floatingWraps(terms(width, tension, 0.3, boundary, 9e8), speed, 1e-3);
      // k (k + 1) instead of k^2: half a wrap.
      expect(Math.abs(counted + 0.5 - wraps)).toBeLessThan(0.002 * wraps);
    },
  );

  it.each(cases.filter((each) => each[9] !== undefined))(
    'of %s falls with compression to what a wrap-by-wrap integration gives',
    (_, width, speed, tension, radius, boundary, film, _without, _time, wraps) => {
      const counted = floatingWraps(terms(width, tension, radius, boundary, 101_325), speed, film * 1e-6);
      // Own wrap-by-wrap integration, whole wraps: one wrap or 1 %.
      expect(Math.abs(counted - wraps)).toBeLessThan(Math.max(1.2, 0.01 * wraps));
    },
  );

  it('of a sealed stack is where compression alone reaches the boundary', () => {
    const perWrap = 100 / 0.15 / 101_325;
    const sealed = floatingWraps(terms(50, 100, 0.15, 0.24, 101_325), 50, 1.5e-6);
    // Own derivation: 1 + (h0/hc - 1)(pa + T/R)/(T/R) = 804 wraps if compression counts from the first wrap on; here it does from the third: 817.
    const alone = 3 + ((1.5 / 0.24 - 1) * (1 + 3 * perWrap)) / perWrap;
    expect(alone).toBeCloseTo(816.8, 0);
    expect(sealed).toBeGreaterThan(0.98 * alone);
    expect(sealed).toBeLessThanOrEqual(1.001 * alone);
  });

  it('is none up to the boundary film and grows from there without a step', () => {
    const stack = terms(1, 350, 0.5, 4.5, 101_325);
    expect(floatingWraps(stack, 30, 4.5e-6)).toBe(0);
    expect(floatingWraps(stack, 30, 4.5001e-6)).toBeGreaterThan(0);
    expect(floatingWraps(stack, 30, 4.5001e-6)).toBeLessThan(5);
  });
});
