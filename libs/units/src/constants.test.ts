import { describe, expect, it } from 'vitest';
import {
  dryAirGasConstantJPerKgK,
  standardAtmospherePa,
  waterVapourGasConstantJPerKgK,
  zeroCelsiusK,
} from './constants.js';
import { toSi } from './convert.js';

describe('the physical constants', () => {
  it('agree with the unit table', () => {
    expect(toSi(0, 'Cel')).toBe(zeroCelsiusK);
    // 1013.25 hPa is the sea-level pressure of ISO 2533:1975.
    expect(toSi(1013.25, 'hPa')).toBe(standardAtmospherePa);
  });

  it('give the sea-level density of ISO 2533:1975, 1.225 kg/m3 at 15 degrees Celsius', () => {
    expect(standardAtmospherePa / (dryAirGasConstantJPerKgK * (zeroCelsiusK + 15))).toBeCloseTo(1.225, 5);
  });

  it('give the ratio of the densities of water vapour and dry air, 0.622 (psychrometric handbooks)', () => {
    expect(dryAirGasConstantJPerKgK / waterVapourGasConstantJPerKgK).toBeCloseTo(0.622, 4);
  });
});
