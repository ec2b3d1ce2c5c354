import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bracketedRoot } from './bracketed-root.js';

describe('the bracketed root', () => {
  it('is found within the tolerance for steady functions of any steepness', () => {
    const root = fc.double({ min: -20, max: 20, noNaN: true });
    fc.assert(
      fc.property(root, fc.double({ min: 0.1, max: 9, noNaN: true }), (at, power) => {
        const evaluate = (x: number) => Math.sign(x - at) * Math.abs(x - at) ** power;
        expect(Math.abs(bracketedRoot(evaluate, -25, 25, 1e-10) - at)).toBeLessThan(1e-9);
      }),
    );
  });

  it('is found where the function is infinite on one side', () => {
    const evaluate = (x: number) => (x < 3 ? -Infinity : x - 4);
    expect(bracketedRoot(evaluate, -100, 100, 1e-11)).toBeCloseTo(4, 10);
  });

  it('is found at a jump', () => {
    expect(bracketedRoot((x) => (x < 0.1234567 ? -Infinity : 5), -1, 1, 1e-9)).toBeCloseTo(0.1234567, 8);
  });

  it('takes few steps for a smooth function', () => {
    let evaluations = 0;
    const evaluate = (x: number) => {
      evaluations += 1;
      return Math.exp(x) - 5;
    };
    expect(bracketedRoot(evaluate, -3, 4, 1e-12)).toBeCloseTo(Math.log(5), 11);
    expect(evaluations).toBeLessThan(14);
  });

  it('may lie at an end', () => {
    expect(bracketedRoot((x) => x, 0, 1, 1e-9)).toBe(0);
    expect(bracketedRoot((x) => x, -1, 0, 1e-9)).toBe(0);
  });

  it('refuses a bracket without a change of sign', () => {
    expect(() => bracketedRoot((x) => x * x + 1, -1, 1, 1e-9)).toThrow(RangeError);
  });
});
