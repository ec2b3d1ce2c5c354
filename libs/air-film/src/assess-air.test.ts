import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { AirPoint } from './air-point.js';
import { type AirAssessment, assessAir } from './assess-air.js';
import { arbitraryPoint } from './fixtures/arbitrary-point.js';
import { lwcPoint, petPoint } from './fixtures/example-points.js';

const at = (point: AirPoint, speedMPerS: number): AirAssessment =>
  assessAir({ ...point, running: { ...point.running, speedMPerS } });
const valueOf = (quantity: AirAssessment['marginRatio']): number => {
  if (quantity.kind !== 'known') throw new Error(quantity.because.text);
  return quantity.value;
};

// The figures of these trials are own results: of the direct solution of the gas nip where that is said, of the earlier correlation else.
describe('a sceptical engineer tries a PET winder', () => {
  it('and finds 47.5 um without a nip and 1.37 um wound in', () => {
    const { airFilm } = assessAir(petPoint);
    // 47.5 is without slip and compressibility, which take 0.6 %.
    expect(Math.abs(airFilm.withoutNipM / 47.5e-6 - 1)).toBeLessThan(0.008);
    // Earlier correlation 1.37, direct solution 1.381: 0.9 % apart.
    expect(Math.abs(airFilm.woundInM / 1.37e-6 - 1)).toBeLessThan(0.015);
    expect(Math.abs(airFilm.woundInM / 1.3819e-6 - 1)).toBeLessThan(0.006);
  });

  it('and finds 0.60 of the film at half the speed and 35 times with the nip lifted', () => {
    const { woundInM } = assessAir(petPoint).airFilm;
    // Direct solution 0.617, earlier correlation 0.60.
    expect(Math.abs(at(petPoint, 2.5).airFilm.woundInM / woundInM - 0.61)).toBeLessThan(0.012);
    const lifted = assessAir({ ...petPoint, nip: { ...petPoint.nip, loadNPerM: 0 } });
    expect(Math.abs(lifted.airFilm.woundInM / woundInM / 35 - 1)).toBeLessThan(0.03);
    expect(lifted.because.code).toBe('foil-film');
  });

  // The same nip with slip as "minus 2 mean free paths", which is up to 5.8 % too thin at 1 m/s (own direct solution); um.
  it.each([
    [1, 0.40149, 1.057],
    [2, 0.6991, 1.026],
    [5, 1.3679, 1.009],
    [10, 2.2226, 1.001],
  ])('and finds the film of the direct solution at %s m/s', (speed, plainUm, direct) => {
    expect(Math.abs((at(petPoint, speed).airFilm.woundInM * 1e6) / (plainUm * direct) - 1)).toBeLessThan(
      0.014,
    );
  });
});

describe('a sceptical engineer tries an LWC winder', () => {
  it('and finds it 9 % below its critical speed of 33 m/s', () => {
    const { criticalSpeedMPerS, marginRatio } = assessAir(lwcPoint);
    expect(Math.abs(valueOf(criticalSpeedMPerS) / 33.07 - 1)).toBeLessThan(0.007);
    expect(valueOf(marginRatio)).toBeCloseTo(0.09, 2);
  });

  it('and finds it 16 % above the 25.8 m/s of the direct solution with a third of the nip load', () => {
    // The earlier correlation gave 24.1 m/s and -25 %; it was 5 % too thick at this load-speed ratio (14) and pressure.
    const low = assessAir({ ...lwcPoint, nip: { ...lwcPoint.nip, loadNPerM: 1000 } });
    expect(Math.abs(valueOf(low.criticalSpeedMPerS) / 25.84 - 1)).toBeLessThan(0.007);
    expect(Math.abs(valueOf(low.marginRatio) - (1 - 30 / 25.84))).toBeLessThan(0.008);
    expect(low.extrapolated).toEqual([]);
  });

  it('and finds the film unchanged with 20 % more tension, and is told so', () => {
    const before = assessAir(lwcPoint);
    const after = assessAir({ ...lwcPoint, running: { ...lwcPoint.running, tensionNPerM: 420 } });
    expect(Math.abs(after.airFilm.woundInM / before.airFilm.woundInM - 1)).toBeLessThan(0.002);
    expect(before.because.text).toMatch(/tension does not thin it/);
  });
});

describe('an assessment', () => {
  it('at the critical speed has margin 0 and as many floating wraps as are allowed', () => {
    fc.assert(
      fc.property(arbitraryPoint, (point) => {
        const { criticalSpeedMPerS } = assessAir(point);
        if (criticalSpeedMPerS.kind === 'unknown') return;
        const there = at(point, criticalSpeedMPerS.value);
        expect(Math.abs(valueOf(there.marginRatio))).toBeLessThan(1e-6);
        const allowed = point.floatingWrapsAllowed ?? 3;
        // The number of wraps is steep where almost nothing vents: a hair more speed, and it is past the number allowed.
        expect(at(point, criticalSpeedMPerS.value * (1 + 1e-6)).floatingWraps).toBeGreaterThan(
          allowed * (1 - 1e-6),
        );
        expect(at(point, criticalSpeedMPerS.value * (1 - 1e-6)).floatingWraps).toBeLessThan(
          allowed * (1 + 1e-6),
        );
      }),
      { numRuns: 300 },
    );
  });

  it('is finite in every figure, at any operating point and at standstill', () => {
    fc.assert(
      fc.property(arbitraryPoint, fc.boolean(), (point, moving) => {
        const assessment = moving ? assessAir(point) : at(point, 0);
        expect(
          JSON.stringify(assessment, (_, value: unknown) =>
            typeof value === 'number' && !Number.isFinite(value) ? 'NOT FINITE' : value,
          ),
        ).not.toMatch(/NOT FINITE/);
      }),
      { numRuns: 300 },
    );
  });

  it('has no margin figure to give, and a reason, where there is no critical speed', () => {
    const { marginRatio, criticalSpeedMPerS } = assessAir({ ...lwcPoint, speedLimitMPerS: 10 });
    expect(marginRatio).toMatchObject({
      kind: 'unknown',
      because: { code: 'no-critical-speed', params: { upToMPerS: 20 } },
    });
    expect(criticalSpeedMPerS).toMatchObject({ kind: 'unknown' });
  });

  it('compares films with three times the roughness and margins with the calibrated boundary', () => {
    const half = assessAir({ ...lwcPoint, boundaryFactor: 0.5 });
    expect(half.filmRatio).toBeCloseTo(half.airFilm.woundInM / 4.5e-6, 12);
    expect(half.boundaryFilmM).toBeCloseTo(2.25e-6, 15);
    expect(valueOf(half.marginRatio)).toBeLessThan(0);
  });

  it('gives the friction that is left where the friction is known', () => {
    const { tractionRatio, effectiveFrictionRatio } = assessAir({
      ...lwcPoint,
      web: { ...lwcPoint.web, frictionRatio: 0.4 },
    });
    expect(effectiveFrictionRatio).toBeCloseTo(0.4 * tractionRatio, 12);
    expect(assessAir(lwcPoint)).not.toHaveProperty('effectiveFrictionRatio');
  });

  it('leaves the stages of the nip out without a nip', () => {
    expect(Object.keys(assessAir({ ...lwcPoint, nip: null }).airFilm)).toEqual(['withoutNipM', 'woundInM']);
  });

  it('takes the air from temperature and pressure, 23 C and one atmosphere if not told', () => {
    const { web, nip, running } = lwcPoint;
    const rest = { web, nip, running };
    expect(assessAir(rest)).toEqual(assessAir({ ...rest, air: { temperatureC: 23, pressurePa: 101_325 } }));
  });

  it('grows in film with speed and shrinks with nip load, and with tension where no nip works', () => {
    fc.assert(
      fc.property(arbitraryPoint, (point) => {
        const film = (other: AirPoint) => assessAir(other).airFilm.woundInM;
        const base = film(point);
        const { running, nip } = point;
        expect(
          film({ ...point, running: { ...running, speedMPerS: 1.02 * running.speedMPerS } }),
        ).toBeGreaterThan(base);
        expect(
          film({ ...point, running: { ...running, tensionNPerM: 1.02 * running.tensionNPerM } }),
        ).toBeLessThan(base);
        if (nip === null) return;
        expect(film({ ...point, nip: { ...nip, loadNPerM: 1.02 * nip.loadNPerM } })).toBeLessThanOrEqual(
          base,
        );
      }),
    );
  });

  describe('says where it leaves the range of its formulas:', () => {
    const codes = (point: AirPoint) => assessAir(point).extrapolated.map(({ code }) => code);
    it('nowhere for a usual point', () => {
      expect(codes(lwcPoint)).toEqual([]);
    });
    it('a cover that is thin for its nip', () => {
      expect(codes({ ...lwcPoint, nip: { ...lwcPoint.nip, coverThicknessM: 0.003 } })).toEqual([
        'cover-thin',
      ]);
    });
    it('a hard roller', () => {
      expect(
        codes({ ...lwcPoint, nip: { ...lwcPoint.nip, coverModulusPa: 2e11, coverPoissonRatio: 0.3 } }),
      ).toContain('nip-pressure-high');
    });
    it('a very thin film', () => {
      expect(codes({ ...petPoint, running: { ...petPoint.running, speedMPerS: 0.2 } })).toContain(
        'film-near-mean-free-path',
      );
    });
    it('inertia of the air in a thick fast film', () => {
      expect(codes({ ...lwcPoint, nip: null })).toEqual(['air-inertia']);
    });
    it('a roll that is narrow for a thick film', () => {
      expect(codes({ ...lwcPoint, nip: null, web: { ...lwcPoint.web, widthM: 0.03 } })).toContain(
        'narrow-for-foil-film',
      );
    });
    it('a web whose inertia takes all its tension', () => {
      const flying = {
        ...lwcPoint,
        web: { ...lwcPoint.web, grammageKgPerM2: 0.055 },
        running: { ...lwcPoint.running, speedMPerS: 90 },
      };
      expect(codes(flying)).toContain('tension-spent-on-inertia');
    });
    it('a stack that sinks until it is slack', () => {
      const open = { ...petPoint, nip: null, web: { ...petPoint.web, modulusPa: 4.5e9 } };
      expect(codes(open)).toEqual(['stack-relaxes']);
    });
  });
});
