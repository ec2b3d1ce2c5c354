import { describe, expect, it } from 'vitest';
import { airDensity, airMeanFreePath, airProperties, airViscosity, standardAir } from './air-properties.js';

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

  it('default to 23 C and one atmosphere', () => {
    expect(standardAir).toEqual(airProperties({ temperatureC: 23, pressurePa }));
  });
});
