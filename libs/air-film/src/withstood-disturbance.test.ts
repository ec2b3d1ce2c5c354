import { describe, expect, it } from 'vitest';
import { assessAir } from './assess-air.js';
import { lwcPoint } from './fixtures/example-points.js';
import { withstoodDisturbance } from './withstood-disturbance.js';

describe('the disturbance that a wrap withstands', () => {
  // Own derivation mu T/(R rho_A), friction 0.3: PET 12 um (T 100, R 0.15, 1390 kg/m3), newsprint 66 g/m2 (T 300, R 0.4, friction 0.5), m/s2.
  it.each([
    ['PET 12 um', 0.3, 100, 0.15, 12e-6 * 1390, 11_990],
    ['newsprint', 0.5, 300, 0.4, 0.066, 5682],
  ])(
    'to the side is far above anything on a winder for %s in contact',
    (_, friction, tension, radius, mass, expected) => {
      const { lateralAccelerationMPerS2 } = withstoodDisturbance({
        effectiveFrictionRatio: friction,
        netTensionNPerM: tension,
        radiusM: radius,
        grammageKgPerM2: mass,
      });
      expect(Math.abs(lateralAccelerationMPerS2! / expected - 1)).toBeLessThan(0.002);
    },
  );

  it('as skew is 2 pi and as taper once the friction that is left: 1 mrad and 1 mm of diameter over 1 m need 1.6e-4 and 5e-4', () => {
    const at = (effectiveFrictionRatio: number) =>
      withstoodDisturbance({ effectiveFrictionRatio, netTensionNPerM: 1, radiusM: 1, grammageKgPerM2: 0 });
    expect(at(1.6e-4).skewRad).toBeCloseTo(1e-3, 4);
    expect(at(5e-4).coneRatio).toBe(5e-4);
    expect(at(5e-4)).not.toHaveProperty('lateralAccelerationMPerS2');
  });

  it('is nothing where the wrap floats, and is not given where the friction is not known', () => {
    const web = { ...lwcPoint.web, frictionRatio: 0.4 };
    const fast = { ...lwcPoint, web, running: { ...lwcPoint.running, speedMPerS: 45 } };
    expect(assessAir(fast).withstands).toEqual({ skewRad: 0, coneRatio: 0 });
    expect(assessAir(lwcPoint)).not.toHaveProperty('withstands');
  });

  it('grows with the friction at the same film and margin: slipperiness is a quantity of its own', () => {
    const of = (frictionRatio: number) => assessAir({ ...lwcPoint, web: { ...lwcPoint.web, frictionRatio } });
    expect(of(0.5).withstands!.skewRad).toBeCloseTo(2 * of(0.25).withstands!.skewRad, 12);
    expect(of(0.5).marginRatio).toEqual(of(0.25).marginRatio);
  });
});
