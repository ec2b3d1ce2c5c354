import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { AirPoint } from './air-point.js';
import { assessAir } from './assess-air.js';
import { arbitraryPoint } from './fixtures/arbitrary-point.js';
import { lwcPoint, newsprintPoint, petPoint } from './fixtures/example-points.js';

const withPermeance = (point: AirPoint, umPerPaS: number): AirPoint => ({
  ...point,
  web: { ...point.web, permeanceMPerPaS: umPerPaS * 1e-6 },
});
const verdict = (point: AirPoint) => {
  const { applies, because } = assessAir(point);
  return { applies, code: because.code };
};

describe('entrained air', () => {
  it('is no problem for newsprint with a permeance of 3 um/(Pa s): porous', () => {
    const { applies, because } = assessAir(newsprintPoint);
    expect(applies).toBe(false);
    expect(because.code).toBe('porous');
    // Own arithmetic: 2 pi P T/(V h) = 2 pi 3e-6 300/(35 x 4.9e-6) = 33.
    expect(because.params['factor']).toBeCloseTo(33, 0);
    expect(because.text).toBe(
      'no air problem at any speed up to 6000 m/min: in one turn the porous web lets 33 times the film through',
    );
  });

  it('of LWC is ruled out from 0.06 um/(Pa s) under a nip and from 3.1 without', () => {
    // Own derivation V h/(2 pi T) with the film that is really there.
    expect(verdict(withPermeance(lwcPoint, 0.057))).toEqual({ applies: true, code: 'nip-film' });
    expect(verdict(withPermeance(lwcPoint, 0.06))).toEqual({ applies: false, code: 'porous' });
    const open = { ...lwcPoint, nip: null };
    expect(verdict(withPermeance(open, 3.04))).toEqual({ applies: true, code: 'foil-film' });
    expect(verdict(withPermeance(open, 3.1))).toEqual({ applies: false, code: 'porous' });
  });

  // Own derivation: width at which one turn is enough, mm.
  it.each([
    ['PET12', 0.15, 100, 5, 0.3, 1.1148],
    ['BOPP20', 0.25, 150, 8, 0.6, 2.1589],
    ['LWC', 0.4, 350, 25, 6, 18.668],
    ['newsprint as if airtight', 0.4, 300, 25, 15, 43.331],
  ])(
    'of %s is ruled out below its width limit',
    (_, radius, tensionNPerM, speedMPerS, boundaryUm, limitMm) => {
      const at = (widthMm: number): AirPoint => ({
        web: {
          widthM: widthMm * 1e-3,
          caliperM: 2e-5,
          combinedRoughnessM: (boundaryUm * 1e-6) / 3,
          permeanceMPerPaS: 0,
        },
        nip: null,
        running: { speedMPerS, rollDiameterM: 2 * radius, tensionNPerM },
        air: { viscosityPaS: 1.82e-5, pressurePa: 101_325, meanFreePathM: 68e-9 },
        speedLimitMPerS: 150,
      });
      const narrow = assessAir(at(0.995 * limitMm));
      expect(narrow.applies).toBe(false);
      expect(narrow.because.code).toBe('narrow');
      // The film enters only as a small correction: 0.1 %.
      expect(Math.abs((Number(narrow.because.params['widthNeededM']) * 1e3) / limitMm - 1)).toBeLessThan(
        0.001,
      );
      // Three allowed wraps move the limit to sqrt(6) = 2.45 times the width.
      expect(assessAir(at(2.4 * limitMm)).marginRatio).toMatchObject({ value: expect.any(Number) as number });
      const margin = (widthMm: number) => assessAir({ ...at(widthMm), floatingWrapsAllowed: 3 }).marginRatio;
      expect(margin(2.43 * limitMm)).toMatchObject({ kind: 'known', value: expect.closeTo(0, 1) as number });
    },
  );

  it('is no problem while the machine creeps, and says from where it is', () => {
    const creeping = assessAir({ ...lwcPoint, running: { ...lwcPoint.running, speedMPerS: 1 } });
    expect(creeping.applies).toBe(false);
    expect(creeping.because.code).toBe('slow');
    expect(creeping.because.params['criticalSpeedMPerS']).toBeCloseTo(33, 0);
    expect(creeping.marginRatio).toMatchObject({ kind: 'known', value: expect.closeTo(0.97, 2) as number });
  });

  it('is no problem at standstill', () => {
    expect(verdict({ ...lwcPoint, running: { ...lwcPoint.running, speedMPerS: 0 } })).toEqual({
      applies: false,
      code: 'slow',
    });
  });

  it('is no problem for a web so rough that no speed of the machine is enough', () => {
    const rough = { ...lwcPoint, web: { ...lwcPoint.web, combinedRoughnessM: 8e-6 }, speedLimitMPerS: 40 };
    const { applies, because, criticalSpeedMPerS } = assessAir(rough);
    expect(applies).toBe(false);
    expect(because.code).toBe('rough');
    expect(criticalSpeedMPerS.kind).toBe('unknown');
  });

  it('is a problem for smooth film', () => {
    expect(verdict(petPoint)).toEqual({ applies: true, code: 'nip-film' });
  });

  it('is only ruled out where there is margin, and always with a finite factor', () => {
    fc.assert(
      fc.property(arbitraryPoint, (point) => {
        const { applies, because, marginRatio } = assessAir(point);
        for (const figure of Object.values(because.params)) expect(Number.isFinite(figure)).toBe(true);
        if (applies) expect(marginRatio.kind).toBe('known');
        else if (marginRatio.kind === 'known') expect(marginRatio.value).toBeGreaterThan(0);
      }),
      { numRuns: 300 },
    );
  });
});
