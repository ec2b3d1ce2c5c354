import { criticalSpeed } from '@edge-margin/air-film';
import { describe, expect, it } from 'vitest';
import { criticalCurve } from './critical-curve.js';

describe('the critical speed over diameter as a curve', () => {
  it('lies within 0.1 % of the critical speed itself, film slitter from core to full roll', () => {
    const exact = (rollDiameterM: number): number | null =>
      criticalSpeed({
        web: { widthM: 0.6, caliperM: 20e-6, combinedRoughnessM: 0.3e-6, permeanceMPerPaS: 0 },
        nip: { rollerDiameterM: 0.12, coverModulusPa: 3e6, coverPoissonRatio: 0.5, loadNPerM: 300 },
        running: { speedMPerS: 5, rollDiameterM, tensionNPerM: 100 },
        speedLimitMPerS: 20,
      }) ?? null;
    const curve = criticalCurve(exact, 0.2, 0.6);
    for (let diameterM = 0.2; diameterM <= 0.6; diameterM += 0.0137) {
      expect(1 / curve(diameterM) / (exact(diameterM) ?? 0)).toBeCloseTo(1, 3);
    }
  });

  it('has no slowness where there is no critical speed', () => {
    expect(criticalCurve(() => null, 0.1, 0.5)(0.3)).toBe(0);
  });
});
