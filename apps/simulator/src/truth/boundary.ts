import type { Crossing } from './truth-record.js';

/** When the roll first passed its boundary, and when for good (a stay of some time). */
export interface BoundaryState {
  readonly first: Crossing | null;
  readonly lasting: Crossing | null;
  /** Begin of the present stay. */
  readonly stay: Crossing | null;
}

export const NOT_PASSED: BoundaryState = { first: null, lasting: null, stay: null };

export function watchBoundary(
  state: BoundaryState,
  isBeyond: boolean,
  now: Crossing,
  lastingMs: number,
): BoundaryState {
  if (!isBeyond) return { ...state, stay: null };
  const stay = state.stay ?? now;
  const hasLasted = now.atMs - stay.atMs >= lastingMs;
  return { first: state.first ?? stay, stay, lasting: state.lasting ?? (hasLasted ? stay : null) };
}
