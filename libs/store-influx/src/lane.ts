import { type Reason, reason } from '@edge-margin/units';
import { backOffMs } from './back-off.js';
import type { Clock } from './clock.js';
import type { DeliveryFailure } from './deliver-rows.js';
import type { ReplicaTrouble } from './replica-status.js';

/** What one step of a lane came to: how long to wait before the next, ms, or why it failed. `mended`: what was missing has been made. */
export type LaneStep =
  { readonly kind: 'done'; readonly waitMs: number } | (DeliveryFailure & { readonly mended?: boolean });

export interface LaneHealth {
  /** Down before the first step that went well and after one that did not. */
  readonly up: boolean;
  readonly trouble: ReplicaTrouble;
  readonly lastError: (Reason & { readonly atMs: number }) | null;
}

/** Work that is done step by step and, after a failure, again for as long as it takes. */
export interface Lane {
  readonly run: (quit: AbortSignal) => Promise<void>;
  /** One step without waiting. */
  readonly once: () => Promise<void>;
  readonly health: () => LaneHealth;
}

/** While somebody must act first, the next attempt is made after this time. */
export const misconfiguredMs = 60_000;

/** A lane of the steps; it begins with `run`. */
export function createLane(step: () => Promise<LaneStep>, clock: Clock): Lane {
  let health: LaneHealth = { up: false, trouble: 'none', lastError: null };
  let failures = 0;
  const fail = (trouble: ReplicaTrouble, because: Reason): void => {
    health = { up: false, trouble, lastError: { ...because, atMs: clock.now() } };
  };
  const retryLater = (trouble: ReplicaTrouble, because: Reason, askedMs = 0): number => {
    failures += 1;
    fail(trouble, because);
    return Math.max(askedMs, backOffMs(failures, clock.random()));
  };
  const taken = (outcome: LaneStep): number => {
    if (outcome.kind === 'retry') return retryLater('unreachable', outcome.because, outcome.afterMs);
    if (outcome.kind === 'misconfigured') {
      fail('misconfigured', outcome.because);
      return outcome.mended === true ? 0 : misconfiguredMs;
    }
    health = { up: true, trouble: 'none', lastError: null };
    failures = 0;
    return outcome.waitMs;
  };
  const guarded = (): Promise<number> =>
    step().then(taken, (error: unknown) =>
      retryLater(
        'local-store',
        reason('replica-store-failed', `the local store could not be read: ${String(error)}`),
      ),
    );
  return {
    run: async (quit) => {
      while (!quit.aborted) {
        const waitMs = await guarded();
        if (waitMs > 0) await clock.sleep(waitMs, quit);
      }
    },
    once: async () => {
      await guarded();
    },
    health: () => health,
  };
}
