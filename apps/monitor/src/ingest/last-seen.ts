import type { Journal } from '@edge-margin/journal';

/** What the journal knows of the process that wrote it last. */
export interface LastSeen {
  /** When it last appended something of its own accord, epoch ms: within a second or so of its end. */
  readonly atMs: number;
  /** Its last word was that the connection had ended. */
  readonly saidGoodbye: boolean;
}

/** What a start appends before it connects (the plant file's row, say) tells nothing of the process before. */
const told = ['message', 'tick', 'link'];
const mostLookedAt = 100;

/** Looks at the end of the journal; undefined where nobody has been connected or has kept time. */
export function lastSeen(journal: Pick<Journal, 'durable' | 'firstPosition' | 'read'>): LastSeen | undefined {
  const last = journal.durable();
  const first = Math.max(journal.firstPosition(), last - mostLookedAt + 1);
  if (first > last) return undefined;
  const row = journal.read(first, mostLookedAt).findLast(({ kind }) => told.includes(kind));
  return row === undefined
    ? undefined
    : { atMs: row.arrivedAtMs, saidGoodbye: row.kind === 'link' && row.state === 'down' };
}
