import { describe, expect, it } from 'vitest';
import { assessAir } from './assess-air.js';
import { uncalibratedModelRatio } from './air-uncertainty.js';
import { lwcPoint } from './fixtures/example-points.js';

const uncertainties = {
  speedRatio: 0.005,
  rollDiameterRatio: 0.01,
  nipLoadRatio: 0.05,
  combinedRoughnessRatio: 0.2,
  coverModulusRatio: 0.3,
};

describe('the uncertainty of the critical speed', () => {
  it('of an uncalibrated grade with exact inputs is a factor of 2 at two standard uncertainties', () => {
    const { uncertainty, criticalSpeedMPerS } = assessAir(lwcPoint);
    expect(Math.exp(2 * uncertainty.criticalSpeedRatio)).toBeCloseTo(2, 12);
    expect(uncertainty.calibrated).toBe(false);
    if (criticalSpeedMPerS.kind !== 'known') throw new Error('known');
    expect(criticalSpeedMPerS.uncertainty / criticalSpeedMPerS.value).toBeCloseTo(uncalibratedModelRatio, 12);
  });

  it('adds independent inputs by their squared contributions, JCGM 100:2008 equation (11a)', () => {
    const { uncertainty, criticalSpeedSensitivities } = assessAir({ ...lwcPoint, uncertainties });
    const c = criticalSpeedSensitivities!;
    const byHand = Math.hypot(
      uncalibratedModelRatio,
      0.01 * c.rollDiameter,
      0.05 * c.nipLoad,
      0.2 * c.combinedRoughness,
      0.3 * c.coverModulus,
    );
    expect(uncertainty.criticalSpeedRatio).toBeCloseTo(byHand, 12);
    expect(uncertainty.contributions.map(({ source }) => source)).toEqual([
      'boundaryModel',
      'combinedRoughness',
      'nipFilmModel',
      'stackModel',
      'coverModulus',
      'nipLoad',
      'rollDiameter',
    ]);
    expect(uncertainty.contributions.reduce((sum, each) => sum + each.varianceShareRatio, 0)).toBeCloseTo(
      1,
      12,
    );
  });

  it('of a calibrated grade counts what rated rolls have absorbed only once', () => {
    const calibration = { criticalSpeedUncertaintyRatio: 0.04 };
    const { uncertainty, criticalSpeedSensitivities } = assessAir({
      ...lwcPoint,
      uncertainties,
      calibration,
    });
    const c = criticalSpeedSensitivities!;
    expect(uncertainty.calibrated).toBe(true);
    expect(uncertainty.criticalSpeedRatio).toBeCloseTo(
      Math.hypot(0.04, 0.01 * c.rollDiameter, 0.05 * c.nipLoad),
      12,
    );
    expect(uncertainty.contributions.map(({ source }) => source)).toEqual([
      'model',
      'nipLoad',
      'rollDiameter',
    ]);
  });
});

describe('the parts of the model', () => {
  it('make a factor of 2 together, with the boundary film as the largest, and no nip film where there is no nip', () => {
    for (const point of [lwcPoint, { ...lwcPoint, nip: null }]) {
      const { contributions } = assessAir(point).uncertainty;
      expect(contributions[0]!.source).toBe('boundaryModel');
      expect(contributions.some(({ source }) => source === 'nipFilmModel')).toBe(point.nip !== null);
      const together = Math.hypot(...contributions.map(({ contributionRatio }) => contributionRatio));
      expect(Math.exp(2 * together)).toBeCloseTo(2, 12);
    }
  });
});

describe('the uncertainty of the margin', () => {
  it('is that of V/Vcrit, with the speed', () => {
    const { marginRatio, uncertainty } = assessAir({ ...lwcPoint, uncertainties });
    if (marginRatio.kind !== 'known') throw new Error('known');
    const byHand = (1 - marginRatio.value) * Math.hypot(uncertainty.criticalSpeedRatio, 0.005);
    expect(marginRatio.uncertainty).toBeCloseTo(byHand, 12);
  });
});

describe('the uncertainty of the film', () => {
  it('is the same up and down, and half of what the film changes by, where the film goes straight with the input', () => {
    // Without a nip the film goes with the diameter (exponent 1).
    const open = { ...lwcPoint, nip: null };
    const calibration = { criticalSpeedUncertaintyRatio: 1e-9 };
    const { uncertainty, airFilm } = assessAir({
      ...open,
      calibration,
      uncertainties: { rollDiameterRatio: 0.02 },
    });
    const film = (by: number) =>
      assessAir({ ...open, running: { ...open.running, rollDiameterM: by } }).airFilm.woundInM;
    const [up, down] = [film(1.02) - airFilm.woundInM, airFilm.woundInM - film(0.98)];
    expect(up / down).toBeCloseTo(1, 3);
    expect((uncertainty.woundInFilmRatio * airFilm.woundInM * 2) / (up + down)).toBeCloseTo(1, 3);
  });

  it('is that of the critical speed, seen through the film’s own exponent, and of the inputs', () => {
    const { uncertainty, filmSensitivities: c } = assessAir({ ...lwcPoint, uncertainties });
    const byHand = Math.hypot(
      c.speed * uncalibratedModelRatio,
      c.speed * 0.005,
      0.01 * c.rollDiameter,
      0.05 * c.nipLoad,
      0.3 * c.coverModulus,
    );
    expect(uncertainty.woundInFilmRatio).toBeCloseTo(byHand, 12);
    expect(uncertainty.filmRatioRatio).toBeCloseTo(Math.hypot(byHand, 0.2), 12);
  });
});
