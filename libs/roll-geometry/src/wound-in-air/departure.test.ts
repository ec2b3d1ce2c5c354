import { describe, expect, it } from 'vitest';
import { departedFrom, departureAfter, noDeparture } from './departure.js';
import { randomNumbers } from './fixtures/measured-rolls.js';

/** Readings until a departure is told, with deviations from a source; the first is at position 1. */
function readingsUntilDeparture(deviationAt: (index: number) => number, atMost: number) {
  let departure = noDeparture;
  for (let index = 1; index <= atMost; index += 1) {
    departure = departureAfter(departure, index, deviationAt(index));
    const from = departedFrom(departure);
    if (from !== null) return { after: index, from };
  }
  return null;
}

describe('readings that leave the line', () => {
  it('by two deviations are told after seven, with where that began, on either side', () => {
    // (2 - 0.5) x 7 = 10.5 is the first sum of at least 10.
    for (const side of [1, -1]) {
      const found = readingsUntilDeparture((index) => (index <= 30 ? 0 : 2 * side), 100);
      expect(found).toEqual({ after: 37, from: 31 });
    }
  });

  it('are not told for three outliers, however far off', () => {
    expect(readingsUntilDeparture((index) => (index % 20 < 3 ? 1e9 : 0), 1000)).toBeNull();
  });

  it('are seldom told where nothing happens: about once in 70 000 cells, so in few of 300 000', () => {
    const { normal } = randomNumbers(3);
    let count = 0;
    for (let cells = 0; cells < 300_000; count += 1) {
      cells += readingsUntilDeparture(normal, 300_000)?.after ?? 300_000;
    }
    // Poisson of mean 300/70 = 4.3: more than 11 in one of 1000 tries.
    expect(count - 1).toBeLessThanOrEqual(11);
  });
});
