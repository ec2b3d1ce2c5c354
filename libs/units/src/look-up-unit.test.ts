import { describe, expect, it } from 'vitest';
import { lookUpUnit } from './look-up-unit.js';
import { units } from './unit-table.js';

const nearest = (code: string) => {
  const found = lookUpUnit(code);
  return found.ok ? `supported: ${found.unit.code}` : found.nearest;
};

describe('the table of units', () => {
  it('begins each dimension with its SI unit, of factor 1 and no offset', () => {
    const first = new Map([...units.values()].reverse().map((unit) => [unit.dimension, unit]));
    expect([...first.values()].map(({ code }) => code).sort()).toEqual(
      ['1', '1/s', 'K', 'N', 'N/m', 'Pa', 'kg', 'kg/m2', 'm', 'm/(Pa.s)', 'm/s', 'm/s2', 's'].sort(),
    );
    for (const unit of first.values())
      expect(unit).toMatchObject({ numerator: 1, denominator: 1, offset: 0 });
  });

  it('keeps every factor as a positive fraction of whole numbers', () => {
    for (const { code, numerator, denominator } of units.values()) {
      expect([code, Number.isSafeInteger(numerator) && numerator > 0]).toEqual([code, true]);
      expect([code, Number.isSafeInteger(denominator) && denominator > 0]).toEqual([code, true]);
    }
  });
});

describe('looking up a unit', () => {
  it('passes over annotations in braces, which carry no meaning in UCUM', () => {
    expect(nearest('{rev}/min')).toBe('supported: /min');
    expect(nearest('/min{rev}')).toBe('supported: /min');
    expect(nearest('{wraps}')).toBe('supported: 1');
  });

  it('is case sensitive, as UCUM is, and names the code in the right case', () => {
    expect(nearest('kn/m')).toBe('kN/m');
    expect(nearest('KN/M')).toBe('kN/m');
    expect(nearest('hz')).toBe('Hz');
    expect(nearest('MM')).toBe('mm');
  });

  it.each([
    ['pli', '[lbf_av]/[in_i]'],
    ['lbf/in', '[lbf_av]/[in_i]'],
    ['ft/min', '[ft_i]/min'],
    ['FPM', '[ft_i]/min'],
    ['mpm', 'm/min'],
    ['in', '[in_i]'],
    ['rpm', '{rev}/min'],
    ['µm', 'um'],
    ['micron', 'um'],
    ['°C', 'Cel'],
    ['m/s^2', 'm/s2'],
    ['m/s²', 'm/s2'],
    ['g/m²', 'g/m2'],
    ['m / min', 'm/min'],
    [' mm ', 'mm'],
    ['m/mn', 'm/min'],
    ['kPA', 'kPa'],
    ['[lbf_av]/[in]', '[lbf_av]/[in_i]'],
  ])('knows what is meant by %j', (written, meant) => {
    expect(nearest(written)).toBe(meant);
  });

  it('names only codes that are supported themselves', () => {
    for (const written of [
      'pli',
      'fpm',
      'rpm',
      'rev/s',
      'psi',
      'degF',
      'gsm',
      'mils',
      'percent',
      'lbs',
      'gee',
      'kp',
      'yd/min',
      'plf',
    ]) {
      const code = nearest(written);
      expect([written, code !== undefined && lookUpUnit(code).ok]).toEqual([written, true]);
    }
  });

  it('names nothing where nothing is near', () => {
    expect(nearest('furlong/fortnight')).toBeUndefined();
    expect(lookUpUnit('')).toEqual({ ok: false, nearest: undefined });
  });

  it('takes a word such as constructor for what it is: no unit', () => {
    expect(lookUpUnit('constructor')).toEqual({ ok: false, nearest: undefined });
    expect(nearest('toString')).toBeUndefined();
  });
});
