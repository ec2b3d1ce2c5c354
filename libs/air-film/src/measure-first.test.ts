import { describe, expect, it } from 'vitest';
import { assessAir } from './assess-air.js';
import { lwcPoint } from './fixtures/example-points.js';

const advice = (combinedRoughnessRatio: number, calibrated = false) =>
  assessAir({
    ...lwcPoint,
    uncertainties: { combinedRoughnessRatio, nipLoadRatio: 0.1 },
    ...(calibrated ? { calibration: { criticalSpeedUncertaintyRatio: 0.01 } } : {}),
  }).uncertainty.measureFirst;

describe('what would make the critical speed surer', () => {
  it('is to measure the input that contributes most', () => {
    expect(advice(0.5)).toMatchObject({
      code: 'measure-first',
      params: { source: 'combinedRoughness' },
      text: expect.stringMatching(/^measure the roughness first: it makes \d\d % of the variance/) as string,
    });
    expect(advice(0.5, true)).toMatchObject({ code: 'measure-first', params: { source: 'nipLoad' } });
  });

  it('is to rate rolls where the model contributes most, and then the largest input', () => {
    expect(advice(0.1)).toMatchObject({ code: 'rate-rolls-first', params: { input: 'combinedRoughness' } });
    expect(assessAir(lwcPoint).uncertainty.measureFirst).toMatchObject({
      code: 'rate-rolls-first',
      text: 'rated rolls of the grade help most: the model itself makes 100 % of the variance of the critical speed',
    });
  });
});
