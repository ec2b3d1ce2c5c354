import { describe, expect, it } from 'vitest';
import { nipContact } from './nip-contact.js';

describe('the dry contact in the nip', () => {
  // Own arithmetic (Hertz): roller and roll radius m, cover modulus MPa, load N/m; reduced radius m, E' MPa, half width mm, peak pressure kPa.
  it.each([
    [0.075, 0.15, 2.5, 300, 0.05, 6.667, 2.394, 79.8],
    [0.075, 0.15, 2.5, 1000, 0.05, 6.667, 4.37, 145.7],
    [0.1, 0.3, 5, 1000, 0.075, 13.33, 3.785, 168.2],
    [0.1, 0.3, 5, 3000, 0.075, 13.33, 6.555, 291.3],
    [0.15, 0.5, 20, 2000, 0.11538, 53.33, 3.319, 383.6],
    [0.25, 0.6, 10, 3000, 0.17647, 26.67, 7.11, 268.6],
    [0.1, 0.3, 5, 100, 0.075, 13.33, 1.197, 53.2],
    [0.1, 0.3, 5, 300, 0.075, 13.33, 2.073, 92.1],
  ])(
    'of radii %s and %s m, %s MPa, %s N/m is as by hand',
    (roller, roll, modulus, load, reduced, prime, width, peak) => {
      const contact = nipContact({
        rollerDiameterM: 2 * roller,
        rollDiameterM: 2 * roll,
        coverModulusPa: modulus * 1e6,
        coverPoissonRatio: 0.5,
        loadNPerM: load,
      });
      expect(Math.abs(contact.reducedRadiusM / reduced - 1)).toBeLessThan(1e-4);
      expect(Math.abs(contact.reducedModulusPa / 1e6 / prime - 1)).toBeLessThan(5e-4);
      expect(Math.abs((contact.halfWidthM * 1e3) / width - 1)).toBeLessThan(5e-4);
      expect(Math.abs(contact.peakPressurePa / 1e3 / peak - 1)).toBeLessThan(1e-3);
    },
  );

  it('carries exactly the load: an ellipse of pressure has the area pi b p0/2', () => {
    const contact = nipContact({
      rollerDiameterM: 0.3,
      rollDiameterM: 0.7,
      coverModulusPa: 4e6,
      coverPoissonRatio: 0.45,
      loadNPerM: 777,
    });
    expect((Math.PI / 2) * contact.halfWidthM * contact.peakPressurePa).toBeCloseTo(777, 8);
    // p0 = E' b/(4 R), the other form of the same contact.
    const other = (contact.reducedModulusPa * contact.halfWidthM) / (4 * contact.reducedRadiusM);
    expect(contact.peakPressurePa / other).toBeCloseTo(1, 12);
  });
});
