import { describe, expect, it } from 'vitest';
import { airDensity, airMeanFreePath, airProperties, airViscosity, standardAir } from './air-properties.js';
import { saturationPressure } from './humid-air.js';

const pressurePa = 101_325;

describe('the properties of air', () => {
  // Own arithmetic from Sutherland's formula (U.S. Standard Atmosphere 1976), the ideal gas law and Jennings 1988; last digit rounded.
  it.each([
    [0, 1.7161, 1.29226, 59.59],
    [10, 1.7652, 1.24662, 62.4],
    [15, 1.7894, 1.22499, 63.82],
    [20, 1.8134, 1.2041, 65.23],
    [23, 1.8277, 1.1919, 66.08],
    [25, 1.8372, 1.1839, 66.65],
    [30, 1.8609, 1.16438, 68.07],
    [40, 1.9076, 1.12719, 70.92],
    [50, 1.9536, 1.09231, 73.78],
    [60, 1.9988, 1.05953, 76.65],
    [80, 2.0874, 0.99952, 82.41],
  ])('at %s C and one atmosphere follow the table', (temperatureC, viscosity, density, meanFreePath) => {
    expect(Math.abs(airViscosity(temperatureC) * 1e5 - viscosity)).toBeLessThan(6e-5);
    expect(Math.abs(airDensity({ temperatureC, pressurePa }) / density - 1)).toBeLessThan(2e-5);
    expect(Math.abs(airMeanFreePath({ temperatureC, pressurePa }) * 1e9 - meanFreePath)).toBeLessThan(6e-3);
  });

  // Gas-supplier data as quoted in a cable-rating manual: known to lie 0.3 to 0.4 % above Sutherland.
  it.each([
    [0, 1.7218],
    [15, 1.7962],
    [25, 1.8447],
    [50, 1.9601],
  ])('agree with published viscosity at %s C within half a per cent', (temperatureC, published) => {
    expect(Math.abs((airViscosity(temperatureC) * 1e5) / published - 1)).toBeLessThan(0.005);
  });

  it('have a mean free path that falls with the pressure, in inverse proportion', () => {
    const low = airMeanFreePath({ temperatureC: 20, pressurePa: 80_000 });
    const high = airMeanFreePath({ temperatureC: 20, pressurePa: 160_000 });
    expect(low / high).toBeCloseTo(2, 12);
  });

  describe('with humidity', () => {
    const at = (temperatureC: number, relativeHumidityRatio: number) => ({
      temperatureC,
      pressurePa,
      relativeHumidityRatio,
    });

    // Steam tables (quoted in any thermodynamics handbook): saturation pressure of water, Pa.
    it.each([
      [0, 611.2, 0.003],
      [20, 2339, 0.003],
      [40, 7384, 0.003],
      [60, 19_946, 0.005],
      [100, 101_420, 0.03],
    ])('take the saturation pressure of steam tables at %s C', (temperatureC, saturationPa, tolerance) => {
      expect(Math.abs(saturationPressure(temperatureC) / saturationPa - 1)).toBeLessThan(tolerance);
    });

    it('weigh 0.7 % less at 25 C and 60 % (own arithmetic from the molar masses)', () => {
      const ratio = airDensity(at(25, 0.6)) / airDensity(at(25, 0));
      expect(ratio).toBeCloseTo(1 - 0.0071, 4);
    });

    it('have a viscosity lower by about 1 % at 25 C and 60 % (handbooks: by less than 1 %; the mixing rule itself is good within about 1 %), and by less than 3 % in the dampest mill', () => {
      for (const temperatureC of [10, 20, 25, 30, 35]) {
        for (const humidity of [0.2, 0.5, 0.8]) {
          const ratio = airProperties(at(temperatureC, humidity)).viscosityPaS / airViscosity(temperatureC);
          expect(ratio).toBeLessThan(1);
          expect(ratio).toBeGreaterThan(0.97);
        }
      }
      expect(airProperties(at(25, 0.6)).viscosityPaS / airViscosity(25)).toBeGreaterThan(0.988);
    });

    it('go over into dry air without a step, and dry air is what it was', () => {
      const dry = airProperties({ temperatureC: 30, pressurePa });
      expect(airProperties(at(30, 0))).toEqual(dry);
      const nearly = airProperties(at(30, 1e-9));
      expect(nearly.viscosityPaS / dry.viscosityPaS).toBeCloseTo(1, 9);
      expect(nearly.meanFreePathM / dry.meanFreePathM).toBeCloseTo(1, 9);
    });

    it('are refused where the vapour alone would exceed the ambient pressure', () => {
      expect(() => airProperties({ temperatureC: 99, pressurePa: 50_000, relativeHumidityRatio: 1 })).toThrow(
        /^relativeHumidityRatio: at most 0\.4\d* is possible/,
      );
    });
  });

  it('default to 23 C and one atmosphere', () => {
    expect(standardAir).toEqual(airProperties({ temperatureC: 23, pressurePa }));
  });
});
