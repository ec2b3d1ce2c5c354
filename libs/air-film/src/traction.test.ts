import { describe, expect, it } from 'vitest';
import { tractionRatio } from './traction.js';

describe('the friction left on an air film', () => {
  // Broken line of Ducotey & Good 1999 (line from memory, ends from the abstract): film/roughness and share of the friction.
  it.each([
    [0, 1],
    [0.5, 1],
    [1, 1],
    [1.25, 0.875],
    [1.5, 0.75],
    [2, 0.5],
    [2.5, 0.25],
    [2.9, 0.05],
    [3, 0],
    [4, 0],
  ])('is at %s times the roughness a share of %s', (films, share) => {
    expect(tractionRatio(films * 1.5e-6, 1.5e-6)).toBeCloseTo(share, 12);
  });
});
