/** Cumulative sums of what the readings lie above and below the line, each with the position from where it runs. */
export interface Departure {
  readonly above: RunningSum;
  readonly below: RunningSum;
}

interface RunningSum {
  readonly sum: number;
  readonly from: number;
}

export const noDeparture: Departure = { above: { sum: 0, from: 0 }, below: { sum: 0, from: 0 } };

/** What a reading may lie off on average without being summed, and the most that it may add: one outlier is no departure. Deviations. Own choice. */
const allowance = 0.5;
const most = 3;
/**
 * A sum of this much is a departure. Independent normal readings reach it once in about 70 000 cells, either side (own arithmetic, by the
 * approximation of D. Siegmund 1985, Sequential Analysis, for the run length); a shift of two deviations reaches it in seven. Own choice.
 */
const limit = 10;

/**
 * The sums after one more reading (E. S. Page 1954, Biometrika 41, 100).
 * @param departure the sums before.
 * @param position of the reading.
 * @param deviations how far it lies above the line, in standard deviations of that distance.
 */
export function departureAfter(departure: Departure, position: number, deviations: number): Departure {
  return {
    above: sumAfter(departure.above, position, deviations),
    below: sumAfter(departure.below, position, -deviations),
  };
}

/** From where the readings have left the line; null where they have not. */
export function departedFrom({ above, below }: Departure): number | null {
  if (above.sum >= limit) return above.from;
  return below.sum >= limit ? below.from : null;
}

function sumAfter({ sum, from }: RunningSum, position: number, deviations: number): RunningSum {
  const after = Math.max(0, sum + Math.max(-most, Math.min(most, deviations)) - allowance);
  return { sum: after, from: sum === 0 ? position : from };
}
