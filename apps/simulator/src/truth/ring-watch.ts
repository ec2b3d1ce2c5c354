import type { PeriodicCause } from '../winder/periodic-causes.js';
import type { Ring } from './truth-record.js';

/** Rings so far, and how often each cause repeats per turn of the roll. */
export interface RingWatch {
  readonly perTurn: readonly number[];
  readonly diameterM: number;
  readonly rings: readonly Ring[];
}

export const NO_RINGS: RingWatch = { perTurn: [], diameterM: 0, rings: [] };

const MOST_TURNS = 4; // a cause that repeats every fifth turn or more seldom makes no ring that could be seen

/**
 * Notes every diameter at which a cause comes round in step with the roll: a whole number of repetitions per turn, or one
 * repetition in 2, 3 or 4 turns. Straight line between two sample periods.
 */
export function watchRings(state: RingWatch, causes: readonly PeriodicCause[], diameterM: number): RingWatch {
  if (causes.length === 0) return state;
  const perTurn = causes.map((cause) => (Math.PI * diameterM) / cause.periodM);
  if (state.perTurn.length !== causes.length) return { ...state, perTurn, diameterM };
  const found = causes.flatMap((cause, i) => {
    const before = state.perTurn[i] as number;
    const now = perTurn[i] as number;
    return ordersBetween(before, now).map((order) => ({
      cause: cause.name,
      order,
      diameterM: state.diameterM + ((order - before) / (now - before)) * (diameterM - state.diameterM),
    }));
  });
  return { perTurn, diameterM, rings: found.length === 0 ? state.rings : [...state.rings, ...found] };
}

/** Orders passed on the way up; on the way down too (speed falls, a fixed frequency repeats more often). */
function ordersBetween(before: number, now: number): readonly number[] {
  const low = Math.min(before, now);
  const high = Math.max(before, now);
  if (!(high > low) || high - low > 1) return [];
  const orders: number[] = [];
  for (let n = MOST_TURNS; n > 1; n -= 1) if (1 / n > low && 1 / n <= high) orders.push(1 / n);
  for (let n = Math.max(1, Math.ceil(low)); n <= high; n += 1) if (n > low) orders.push(n);
  return orders;
}
