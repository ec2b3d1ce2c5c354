import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fromSi, toSi } from './convert.js';
import { units } from './unit-table.js';

describe('conversion to SI', () => {
  // Arithmetic of the defining agreements: minute 60 s; inch 25.4 mm and pound 0.453 592 37 kg (1959); standard gravity 9.806 65 m/s2 (CGPM 1901).
  it.each([
    [1200, 'm/min', 20],
    [720, 'm/min', 12],
    [3000, '/min', 50],
    [3000, '{rev}/min', 50],
    [1797, '{rev}/min', 29.95],
    [4, 'kN/m', 4000],
    [0.3, 'kN/m', 300],
    [25, 'N/cm', 2500],
    [0.25, 'N/mm', 250],
    [600, 'mm', 0.6],
    [60, 'um', 60e-6],
    [1, '[in_i]', 0.0254],
    [30, '[in_i]', 0.762],
    [1, '[mil_i]', 25.4e-6],
    [1000, '[ft_i]/min', 5.08],
    [1, '[lbf_av]', 4.4482216152605],
    [1, '[g]', 9.80665],
    [4.5, 'mm/s', 0.0045],
    [45, 'g/m2', 0.045],
    [1, 'bar', 100_000],
    [12, '%', 0.12],
    [20, 'Cel', 293.15],
    [32, '[degF]', 273.15],
    [250, 'ms', 0.25],
    [1.5, 'h', 5400],
  ])('%d %s is exactly %d', (value, code, si) => {
    expect(toSi(value, code)).toBe(si);
  });

  // Published rounded values: NIST SP 811 (2008), appendix B.8: 1 lbf/in = 175.1268 N/m, 1 lbf/ft = 14.593 90 N/m, 1 psi = 6894.757 Pa.
  it.each([
    [1, '[lbf_av]/[in_i]', 175.1268, 5e-5],
    [1, '[lbf_av]/[ft_i]', 14.5939, 5e-6],
    [1, '[psi]', 6894.757, 5e-4],
    [1, 'kgf/cm', 980.665, 1e-9],
    [212, '[degF]', 373.15, 1e-12],
  ])('%d %s agrees with the published %d to its last digit', (value, code, si, lastDigit) => {
    expect(Math.abs(toSi(value, code) - si)).toBeLessThanOrEqual(lastDigit);
  });

  it('gives whole results without a remainder for every whole speed in m/min that is a whole number of m/s', () => {
    for (let mPerS = 0; mPerS <= 70; mPerS += 1) expect(toSi(mPerS * 60, 'm/min')).toBe(mPerS);
  });

  it('leaves a value in the SI unit of its dimension as it is', () => {
    for (const code of [
      'm',
      'm/s',
      'm/s2',
      '1/s',
      'N',
      'N/m',
      'Pa',
      'kg',
      'kg/m2',
      'm/(Pa.s)',
      's',
      'K',
      '1',
    ]) {
      fc.assert(
        fc.property(fc.double({ noNaN: true, noDefaultInfinity: true }), (value) => {
          expect(toSi(value, code) + 0).toBe(value + 0);
        }),
      );
    }
  });

  it('names the parameter, the value and the nearest unit when the unit is not supported', () => {
    expect(() => toSi(1, 'm/mn')).toThrow(
      new RangeError('unitCode: a supported UCUM code is needed, got m/mn; the nearest is m/min'),
    );
    expect(() => fromSi(1, 'furlong')).toThrow(RangeError);
  });
});

describe('conversion from SI', () => {
  it('undoes the conversion to SI in every unit to a few units in the last place', () => {
    for (const { code, offset } of units.values()) {
      fc.assert(
        fc.property(fc.double({ min: -1e6, max: 1e6, noNaN: true }), (value) => {
          // Four roundings of half a unit in the last place each, on the number with its offset; near 1e-308 digits run out.
          const tolerance = 2 * Number.EPSILON * (Math.abs(value) + Math.abs(offset)) + 1e-300;
          expect(Math.abs(fromSi(toSi(value, code), code) - value)).toBeLessThanOrEqual(tolerance);
        }),
      );
    }
  });

  it('gives back whole numbers of m/min', () => {
    for (let mPerMin = 0; mPerMin <= 3000; mPerMin += 1) {
      expect(fromSi(toSi(mPerMin, 'm/min'), 'm/min')).toBeCloseTo(mPerMin, 9);
    }
    expect(fromSi(20, 'm/min')).toBe(1200);
    expect(fromSi(4000, 'kN/m')).toBe(4);
  });
});
