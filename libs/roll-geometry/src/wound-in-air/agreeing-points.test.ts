import { describe, expect, it } from 'vitest';
import { agreeingPoints } from './agreeing-points.js';
import type { Point } from './block-row.js';
import { randomNumbers } from './fixtures/measured-rolls.js';

const pointsOf = (excesses: readonly number[]) => excesses.map((excess, x): Point => [x, excess]);

describe('readings that may begin a stretch', () => {
  it('lie on one line, flat or steep', () => {
    const { normal } = randomNumbers(1);
    let agreed = 0;
    for (let trial = 0; trial < 1000; trial += 1) {
      const points = pointsOf(Array.from({ length: 6 }, (_, x) => 20 * trial * x + normal()));
      agreed += agreeingPoints(points, 1).length === 6 ? 1 : 0;
    }
    // Chi-squared within 2.5 of its deviations above its mean: 97 %; the median slope is no least-squares slope and loses a little.
    expect(agreed).toBeGreaterThan(930);
  });

  it('are the last five where an earlier one lies off', () => {
    expect(agreeingPoints(pointsOf([0, 50, 0, 0.5, 0, -0.5, 0]), 1)).toEqual(
      pointsOf([0, 50, 0, 0.5, 0, -0.5, 0]).slice(2),
    );
  });

  it('are fewer than five nowhere, nor scattered ones, nor a step of ten deviations', () => {
    expect(agreeingPoints(pointsOf([0, 0, 0, 0]), 1)).toEqual([]);
    expect(agreeingPoints(pointsOf([0, 30, -30, 10, -20, 40]), 1)).toEqual([]);
    for (let low = 1; low <= 4; low += 1) {
      const step = Array.from({ length: 5 }, (_, x) => (x < low ? 0 : 10));
      // A step after the first or before the last reading is one outlier among four.
      expect([low, agreeingPoints(pointsOf(step), 1).length]).toEqual([low, 0]);
    }
  });
});
