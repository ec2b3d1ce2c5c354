import { describe, expect, it } from 'vitest';
import { randomNumbers } from './fixtures/measured-rolls.js';
import { noScatterSeen, scatterAfter, scatterToUse } from './reading-scatter.js';

const seen = (offsetM: (index: number) => number, count: number, statedM: number) => {
  let scatter = noScatterSeen;
  for (let index = 0; index < count; index += 1) scatter = scatterAfter(scatter, offsetM(index), statedM);
  return scatter;
};

describe('the scatter that readings show', () => {
  it.each([0.1e-3, 0.5e-3, 2e-3])(
    'of %d m is found within a third after 300 readings, from 0.5 mm stated',
    (trueM) => {
      for (let seed = 1; seed <= 50; seed += 1) {
        const { normal } = randomNumbers(seed);
        const { m } = seen(() => trueM * normal(), 300, 0.5e-3);
        // It scatters by a tenth itself; a third is more than three of that.
        expect(m / trueM).toBeGreaterThan(1 / 1.4);
        expect(m / trueM).toBeLessThan(1.4);
      }
    },
  );

  it('is little moved by one reading in ten that is wrong by however much', () => {
    const { normal } = randomNumbers(2);
    const { m } = seen((index) => (index % 10 === 0 ? 1e6 : 1e-3 * normal()), 1000, 1e-3);
    expect(m).toBeLessThan(1.6e-3);
  });

  it('counts where it is more than stated, never where it is less', () => {
    expect(scatterToUse({ m: 2e-3, count: 50 }, 1e-3)).toBe(2e-3);
    expect(scatterToUse({ m: 0.1e-3, count: 50 }, 1e-3)).toBe(1e-3);
    expect(scatterToUse(noScatterSeen, 1e-3)).toBe(1e-3);
  });
});
