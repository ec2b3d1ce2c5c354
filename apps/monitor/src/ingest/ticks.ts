import type { Journal } from '@edge-margin/journal';

export interface TickOptions {
  readonly journal: Pick<Journal, 'append'>;
  /** Epoch ms. */
  readonly now: () => number;
  /** While true no tick is appended: rows from the past are still to come. */
  readonly isCatchingUp: () => boolean;
}

/**
 * Appends a tick row a second, which is how time gets into the journal. A loop that was held up for seconds appends one row, not several:
 * the row says what time it is, not how much has passed.
 * @returns How to stop.
 */
export function startTicks({ journal, now, isCatchingUp }: TickOptions): () => void {
  const timer = setInterval(() => {
    if (!isCatchingUp()) journal.append({ kind: 'tick', arrivedAtMs: now() });
  }, 1000);
  return () => clearInterval(timer);
}
