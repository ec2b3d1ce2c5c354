import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type DisplayKind, display } from './display.js';

const kinds: readonly DisplayKind[] = [
  'diameter',
  'length',
  'speed',
  'nipLoad',
  'tension',
  'film',
  'acceleration',
  'ratio',
];
const written = (kind: DisplayKind, si: number, system: 'metric' | 'us') => {
  const { number, unit } = display(kind, si, system);
  return `${number} ${unit}`;
};

describe('what people read', () => {
  // Worked by hand from 1 in = 25.4 mm, 1 ft = 304.8 mm, 1 lbf/in = 175.1268 N/m.
  it.each([
    ['diameter', 0.83, '830 mm', '32.7 in'],
    ['length', 12345.4, '12345 m', '40503 ft'],
    ['speed', 20, '1200 m/min', '3937 ft/min'],
    ['nipLoad', 3000, '3.00 kN/m', '17.1 pli'],
    ['nipLoad', 300, '0.30 kN/m', '1.7 pli'],
    ['tension', 350, '350 N/m', '2.00 lbf/in'],
    ['film', 1.3679e-6, '1.37 µm', '54 µin'],
    ['acceleration', 3.2, '3.2 m/s²', '0.33 g'],
    ['ratio', 0.09, '9 %', '9 %'],
    ['ratio', -0.25, '-25 %', '-25 %'],
  ] as const)('%s %d is %s or %s', (kind, si, metric, us) => {
    expect([written(kind, si, 'metric'), written(kind, si, 'us')]).toEqual([metric, us]);
  });

  it('never shows a negative zero', () => {
    expect(written('ratio', -0.004, 'metric')).toBe('0 %');
    expect(written('nipLoad', -1, 'metric')).toBe('0.00 kN/m');
    expect(written('nipLoad', -0, 'us')).toBe('0.0 pli');
  });

  it('is plain digits for every kind, system and size that occurs on a machine', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...kinds),
        fc.constantFrom('metric' as const, 'us' as const),
        fc.double({ min: -1e9, max: 1e9, noNaN: true }),
        (kind, system, si) => {
          expect(display(kind, si, system).number).toMatch(/^-?\d+(\.\d+)?$/);
        },
      ),
    );
  });

  it('refuses what is not a finite number', () => {
    expect(() => display('speed', Number.NaN, 'metric')).toThrow(RangeError);
    expect(() => display('speed', Infinity, 'us')).toThrow(RangeError);
  });
});
