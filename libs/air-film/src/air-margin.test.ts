import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { airMargin } from './air-margin.js';
import { type AirQuestion, assessAir } from './assess-air.js';
import { criticalSpeed, criticalSpeedByDiameter } from './critical-speed.js';
import { arbitraryPoint } from './fixtures/arbitrary-point.js';
import { lwcPoint } from './fixtures/example-points.js';

const ratio = fc.constantFrom(0, 0.002, 0.05);
const calibration = fc.constantFrom(undefined, { criticalSpeedUncertaintyRatio: 0.04 });
const uncertainties = fc.record({
  speedRatio: ratio,
  rollDiameterRatio: ratio,
  tensionRatio: ratio,
  nipLoadRatio: ratio,
  combinedRoughnessRatio: ratio,
  permeanceRatio: ratio,
  widthRatio: ratio,
  coverModulusRatio: ratio,
  viscosityRatio: ratio,
});
const arbitraryQuestion: fc.Arbitrary<AirQuestion> = fc
  .tuple(arbitraryPoint, uncertainties, calibration)
  .map(([point, known, rated]) => ({
    ...point,
    uncertainties: known,
    ...(rated === undefined ? {} : { calibration: rated }),
  }));

describe('the margin that is watched', () => {
  it('is the one of the whole assessment, bit by bit, with its uncertainty and the reason', () => {
    fc.assert(
      fc.property(arbitraryQuestion, (question) => {
        const { airFilm, criticalSpeedAt, uncertainty, ...margin } = airMargin(question);
        const whole = assessAir(question);
        expect(whole).toMatchObject(margin);
        expect(whole.airFilm).toMatchObject(airFilm);
        expect(whole.uncertainty).toMatchObject(uncertainty);
        const { criticalSpeedMPerS: critical } = whole;
        expect(criticalSpeedAt(question.running.rollDiameterM)).toBe(
          critical.kind === 'known' ? critical.value : undefined,
        );
      }),
      { numRuns: 200 },
    );
  });

  it('has a share that the nip does not hold, where there is one', () => {
    const question = { ...lwcPoint, nipShares: { uncoveredWidthRatio: 0.1 } };
    expect(airMargin(question).ineffectiveNip).toEqual(assessAir(question).ineffectiveNip);
    expect(airMargin(lwcPoint)).not.toHaveProperty('ineffectiveNip');
  });
});

describe('the critical speed at one diameter after another', () => {
  const lanes = { ...lwcPoint.web, profileRangeM: 1e-6 };
  const uneven = { ...lwcPoint, web: lanes, nip: { ...lwcPoint.nip, coverThicknessM: 0.015 } };

  it.each([
    ['an even roll', lwcPoint],
    ['an uneven roll, which the cover follows less the larger it is', uneven],
  ])('is that of the point with each diameter: %s', (_, point) => {
    const at = criticalSpeedByDiameter(point);
    for (const rollDiameterM of [0.11, 0.4, 0.8, 1.3]) {
      const moved = { ...point, running: { ...point.running, rollDiameterM } };
      expect(at(rollDiameterM)).toBe(criticalSpeed(moved));
      expect(airMargin(point).criticalSpeedAt(rollDiameterM)).toBe(criticalSpeed(moved));
    }
  });

  it('refuses a diameter that no roll has, with the range', () => {
    expect(() => criticalSpeedByDiameter(lwcPoint)(0)).toThrow(
      'rollDiameterM: 0.001 to 20 m is needed, got 0 m',
    );
  });
});
