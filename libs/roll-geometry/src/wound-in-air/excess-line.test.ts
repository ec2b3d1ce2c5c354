import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Block } from './block-row.js';
import { excessLine, expectedExcess } from './excess-line.js';

const lineOf = (blocks: readonly Block[], deviation: number) => {
  const line = excessLine(blocks, deviation);
  if (line === null) throw new Error('no line');
  return line;
};

describe('the line through the blocks', () => {
  it('is the least-squares line, with its uncertainty, where nothing lies far off', () => {
    // By hand: x -1, 0, 1 and y 0, 1, 1 of 1, 2, 1 readings: mean 0.75, slope 0.5, sum of squares about the mean position 2.
    const blocks: readonly Block[] = [
      [1, 9, 0],
      [2, 10, 1],
      [1, 11, 1],
    ];
    const line = lineOf(blocks, 0.5);
    expect(line.slope).toBeCloseTo(0.5, 14);
    expect(line.meanExcess).toBeCloseTo(0.75, 14);
    expect(line.noise).toBeCloseTo(0.5 / Math.sqrt(2), 14);
    expect(line.cellCount).toBe(4);
    // At 2 beyond the middle: sqrt(0.25^2 + (2 x 0.354)^2) = 0.75.
    expect(expectedExcess(line, 12)).toEqual({ value: 1.75, noise: expect.closeTo(0.75, 12) });
  });

  it('is not moved by a constant, turned by a slope, or touched by where the roll began', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -1, max: 1, noNaN: true }), { minLength: 6, maxLength: 20 }),
        fc.double({ min: -5, max: 5, noNaN: true }),
        fc.double({ min: 0, max: 1e5, noNaN: true }),
        (excesses, slope, origin) => {
          const plain = excesses.map((excess, x): Block => [3, x, excess]);
          const moved = excesses.map((excess, x): Block => [3, origin + x, 7 + slope * x + excess]);
          expect(lineOf(moved, 0.3).slope).toBeCloseTo(lineOf(plain, 0.3).slope + slope, 8);
          expect(lineOf(moved, 0.3).noise).toBeCloseTo(lineOf(plain, 0.3).noise, 8);
        },
      ),
      { seed: 1 },
    );
  });

  it('is bent little by one block that is wrong by however much', () => {
    const wrongBy = (excess: number) =>
      lineOf(
        Array.from({ length: 20 }, (_, x): Block => [5, x, x === 18 ? excess : x % 2 === 0 ? 0.1 : -0.1]),
        1,
      );
    const { slope } = wrongBy(1e6);
    expect(slope).toBeLessThan(1e3);
    expect(wrongBy(3).slope).toBeLessThan(2.5 * wrongBy(3).noise);
  });

  it('is less sure by the ratio of what the blocks scatter to what they should', () => {
    const scattering = (by: number) =>
      lineOf(
        Array.from({ length: 20 }, (_, x): Block => [4, x, x % 2 === 0 ? by : -by]),
        1,
      );
    // Blocks of four readings of deviation 1 scatter by 0.5; 0.8 keeps them within two deviations of their own.
    expect(scattering(0.8).noise / scattering(0.1).noise).toBeCloseTo(
      Math.sqrt((0.8 / 0.5) ** 2 * (20 / 18)),
      1,
    );
  });

  it('does not exist through one place', () => {
    expect(excessLine([[3, 5, 1]], 1)).toBeNull();
    expect(excessLine([], 1)).toBeNull();
    expect(
      excessLine(
        [
          [1, 5, 1],
          [1, 5, 2],
        ],
        1,
      ),
    ).toBeNull();
  });
});
