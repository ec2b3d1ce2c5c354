import { setTimeout as delay } from 'node:timers/promises';

/** Time and chance, so that tests can drive them. */
export interface Clock {
  /** Epoch ms. */
  readonly now: () => number;
  /** Resolves after `durationMs`, or as soon as the signal is aborted; never rejects. */
  readonly sleep: (durationMs: number, signal: AbortSignal) => Promise<void>;
  /** A number in [0, 1). */
  readonly random: () => number;
}

/** The clock of this machine. */
export const systemClock: Clock = {
  now: () => Date.now(),
  sleep: (durationMs, signal) => delay(durationMs, undefined, { signal }).catch(() => undefined),
  random: () => Math.random(),
};
