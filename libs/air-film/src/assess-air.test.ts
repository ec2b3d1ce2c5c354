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

  it('makes no step anywhere: a hair more of any input changes film and critical speed by a hair', () => {
    const hair = 1e-7;
    const changes: readonly ((point: AirPoint) => AirPoint)[] = [
      (p) => ({ ...p, running: { ...p.running, speedMPerS: (1 + hair) * p.running.speedMPerS } }),
      (p) => ({ ...p, running: { ...p.running, rollDiameterM: (1 + hair) * p.running.rollDiameterM } }),
      (p) => ({ ...p, running: { ...p.running, tensionNPerM: (1 + hair) * p.running.tensionNPerM } }),
      (p) => ({ ...p, web: { ...p.web, widthM: (1 + hair) * p.web.widthM } }),
      (p) => ({ ...p, web: { ...p.web, combinedRoughnessM: (1 + hair) * p.web.combinedRoughnessM } }),
      (p) => (p.nip === null ? p : { ...p, nip: { ...p.nip, loadNPerM: (1 + hair) * p.nip.loadNPerM } }),
      (p) =>
        p.nip?.coverThicknessM === undefined
          ? p
          : { ...p, nip: { ...p.nip, coverThicknessM: (1 + hair) * p.nip.coverThicknessM } },
    ];
    const thickness = fc.oneof(fc.constant(undefined), fc.double({ min: 0.002, max: 0.05, noNaN: true }));
    fc.assert(
      fc.property(arbitraryPoint, thickness, (any, coverThicknessM) => {
        const point =
          any.nip === null || coverThicknessM === undefined
            ? any
            : { ...any, nip: { ...any.nip, coverThicknessM } };
        const base = assessAir(point);
        for (const change of changes) {
          const next = assessAir(change(point));
          // 1000 hairs: a thousandth of the model's own uncertainty.
          expect(Math.abs(next.airFilm.woundInM / base.airFilm.woundInM - 1)).toBeLessThan(1000 * hair);
          if (next.criticalSpeedMPerS.kind === 'unknown' || base.criticalSpeedMPerS.kind === 'unknown')
            continue;
          const step = next.criticalSpeedMPerS.value / base.criticalSpeedMPerS.value - 1;
          expect(Math.abs(step)).toBeLessThan(1000 * hair);
        }
      }),
      { numRuns: 200 },
    );
  });

  // Illustrative inputs with assumed roughness (own choice): film/(3 x combined roughness) without and with the nip of own earlier correlation, slip not subtracted.
  it.each([
    ['PET 12 um', 5, 300, 100, 0.12, 0.3, 3e6, 0.08, 198, 6.3],
    ['BOPP 20 um', 7, 400, 100, 0.16, 0.5, 3e6, 0.15, 220, 4.8],
    ['aluminium foil 7 um', 8, 300, 120, 0.16, 0.5, 5e6, 0.5, 64, 1.46],
    ['LWC', 30, 3000, 350, 0.5, 1, 30e6, 1.5, 50, 0.96],
    ['newsprint', 35, 2500, 300, 0.5, 1, 30e6, 5, 18.6, 0.33],
    ['linerboard', 25, 4000, 1000, 0.5, 1.2, 30e6, 10, 4, 0.12],
  ])(
    'finds %s where it typically is',
    (_, speedMPerS, loadNPerM, tensionNPerM, roller, roll, modulus, roughnessUm, without, withNip) => {
      const point: AirPoint = {
        web: { widthM: 1, caliperM: 2e-5, combinedRoughnessM: roughnessUm * 1e-6, permeanceMPerPaS: 0 },
        nip: { rollerDiameterM: roller, coverModulusPa: modulus, loadNPerM },
        air: { viscosityPaS: 1.82e-5, pressurePa: 101_325, meanFreePathM: 68e-9 },
        running: { speedMPerS, rollDiameterM: roll, tensionNPerM },
      };
      const { filmRatio, applies } = assessAir(point);
      // 12 %: the table leaves slip out, which takes up to 9 % from PET, and is rounded.
      expect(Math.abs(filmRatio / withNip - 1)).toBeLessThan(0.12);
      expect(Math.abs(assessAir({ ...point, nip: null }).filmRatio / without - 1)).toBeLessThan(0.03);
      // Full contact below a third of three times the roughness: newsprint (0.33) and board; all else is marginal or beyond.
      expect(applies).toBe(withNip > 0.3334);
    },
  );

  it('does not apply to tissue: porous', () => {
    const tissue: AirPoint = {
      web: { widthM: 2.5, caliperM: 1e-4, combinedRoughnessM: 20e-6, permeanceMPerPaS: 2e-3 },
      nip: { rollerDiameterM: 0.6, coverModulusPa: 3e6, loadNPerM: 300 },
      running: { speedMPerS: 30, rollDiameterM: 1.6, tensionNPerM: 30 },
    };
    for (const point of [tissue, { ...tissue, nip: null }]) {
      expect(assessAir(point)).toMatchObject({ applies: false, because: { code: 'porous' } });
    }
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
