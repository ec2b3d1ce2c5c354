import { describe, expect, it } from 'vitest';
import { laneGap, uncoveredByDeflection, uncoveredByLanes } from './nip-reach.js';

describe('the reach of a nip', () => {
  it('ends where a lane 0.5 % thinner has fallen 0.14 mm behind: at 0.11 m of diameter', () => {
    // Own arithmetic e D/4; 0.1397 mm is the indentation of a 12 mm cover of 3.6 MPa under 702 N/m (own numerical solution).
    expect(laneGap(0.005, 0.1118)).toBeCloseTo(0.1397e-3, 6);
    expect(uncoveredByLanes([0, laneGap(0.005, 0.1), laneGap(0.005, 0.12), 0], 0.1397e-3)).toBe(0.25);
  });

  it('takes in the whole width where the cover is pressed in by more than the roller bends', () => {
    expect(uncoveredByDeflection(0.1e-3, 0.2e-3)).toBe(0);
    expect(uncoveredByDeflection(0, 0)).toBe(0);
  });

  it('leaves the middle of a bent roller out: half of the width at d = 3/4 f, all at no indentation', () => {
    // Parabola f (1 - s^2) > d for |s| < sqrt(1 - d/f).
    expect(uncoveredByDeflection(0.4e-3, 0.3e-3)).toBeCloseTo(0.5, 12);
    expect(uncoveredByDeflection(0.4e-3, 0)).toBe(1);
  });

  it('needs lanes', () => {
    expect(() => uncoveredByLanes([], 1e-4)).toThrow(RangeError);
  });
});
