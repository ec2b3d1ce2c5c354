import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { filmWithSlip } from './slip.js';

const meanFreePathM = 68e-9;

describe('the film with slip', () => {
  it('is two mean free paths thinner where the film is thick', () => {
    expect((20e-6 - filmWithSlip(20e-6, meanFreePathM)) / meanFreePathM).toBeCloseTo(2, 1);
    expect((2e-3 - filmWithSlip(2e-3, meanFreePathM)) / meanFreePathM).toBeCloseTo(2, 3);
  });

  it('solves its defining equation', () => {
    // Own derivation: h + 2 l (1 + a l/h)^(-1/3) = h without slip.
    fc.assert(
      fc.property(fc.double({ min: -9, max: -3, noNaN: true }), (exponent) => {
        const withoutSlipM = 10 ** exponent;
        const filmM = filmWithSlip(withoutSlipM, meanFreePathM);
        const shiftM = 2 * meanFreePathM * Math.cbrt(filmM / (filmM + 3.2077 * meanFreePathM));
        expect(Math.abs((filmM + shiftM) / withoutSlipM - 1)).toBeLessThan(1e-9);
      }),
    );
  });

  it('falls with the cube of the film without slip where nearly all molecules fly past each other', () => {
    const ratio = filmWithSlip(2e-12, meanFreePathM) / filmWithSlip(1e-12, meanFreePathM);
    expect(ratio).toBeCloseTo(8, 2);
  });

  it('is unchanged without slip, at no film and at an infinite film', () => {
    expect(filmWithSlip(1e-6, 0)).toBe(1e-6);
    expect(filmWithSlip(0, meanFreePathM)).toBe(0);
    expect(filmWithSlip(Infinity, meanFreePathM)).toBe(Infinity);
  });

  it('grows with the film without slip and falls with the mean free path', () => {
    const film = fc.double({ min: 1e-9, max: 1e-4, noNaN: true });
    fc.assert(
      fc.property(film, fc.double({ min: 1e-9, max: 1e-6, noNaN: true }), (withoutSlipM, pathM) => {
        const filmM = filmWithSlip(withoutSlipM, pathM);
        expect(filmM).toBeGreaterThan(0);
        expect(filmM).toBeLessThan(withoutSlipM);
        expect(filmWithSlip(1.01 * withoutSlipM, pathM)).toBeGreaterThan(filmM);
        expect(filmWithSlip(withoutSlipM, 1.01 * pathM)).toBeLessThan(filmM);
      }),
    );
  });
});
