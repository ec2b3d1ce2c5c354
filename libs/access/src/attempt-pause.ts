/** Wrong attempts in a row of one name from one address. Instants of a clock that never goes back, ms. */
export interface Failures {
  readonly count: number;
  readonly lastAtMs: number;
}

/** Mistyping is free this often. */
const freeFailures = 3;
/** The longest pause where the name has never been right from this address, and where it has: people stay people at their own screen. */
const longestPauseMs = { unfamiliar: 900_000, familiar: 30_000 } as const;
/** Failures are forgotten when nothing was tried for this long after the pause. */
const forgottenAfterMs = 900_000;

export type Familiarity = keyof typeof longestPauseMs;

/**
 * The pause after so many wrong attempts in a row: none for three, then 1 s doubling up to the longest.
 * Source: NIST SP 800-63B-4, 3.2.2 (waiting times that grow, familiar addresses); the figures are ours.
 */
export function pauseMs(count: number, familiarity: Familiarity): number {
  if (count < freeFailures) return 0;
  return Math.min(1000 * 2 ** Math.min(count - freeFailures, 20), longestPauseMs[familiarity]);
}

/** How long the pair must still wait, ms; 0: it may try. */
export function remainingPauseMs(
  failures: Failures | undefined,
  familiarity: Familiarity,
  nowMs: number,
): number {
  if (failures === undefined) return 0;
  return Math.max(0, failures.lastAtMs + pauseMs(failures.count, familiarity) - nowMs);
}

/** One more failure. It is counted when the attempt begins and taken back when it succeeds, so that many at once do not slip through. */
export function afterFailure(failures: Failures | undefined, nowMs: number): Failures {
  if (failures === undefined || isForgotten(failures, nowMs)) return { count: 1, lastAtMs: nowMs };
  return { count: failures.count + 1, lastAtMs: nowMs };
}

/** Whether the failures count no more. */
export function isForgotten(failures: Failures, nowMs: number): boolean {
  return nowMs - failures.lastAtMs > pauseMs(failures.count, 'unfamiliar') + forgottenAfterMs;
}
