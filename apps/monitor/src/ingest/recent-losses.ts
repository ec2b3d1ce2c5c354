import type { Reason } from '@edge-margin/units';

/** Messages that were lost, as far as it can be noticed. */
export interface Loss {
  readonly code: 'session-lost' | 'messages-lost';
  readonly fromMs: number;
  readonly atMs: number;
  readonly because: Reason;
}

export interface RecentLosses {
  readonly add: (loss: Loss) => void;
  /** Those of the last ten minutes, the newest of each code, with how many there were. */
  readonly now: (atMs: number) => readonly (Loss & { readonly times: number })[];
}

/** How long a loss is told. The record of it stays. */
const toldForMs = 600_000;
const mostKept = 1000;

/** Remembers losses for as long as people should be told of them without asking. */
export function recentLosses(): RecentLosses {
  let losses: readonly Loss[] = [];
  return {
    add: (loss) => (losses = [...losses.slice(1 - mostKept), loss]),
    now: (atMs) => {
      losses = losses.filter((loss) => Math.abs(atMs - loss.atMs) <= toldForMs);
      return (['session-lost', 'messages-lost'] as const).flatMap((code) => {
        const same = losses.filter((loss) => loss.code === code);
        const newest = same.at(-1);
        return newest === undefined ? [] : [{ ...newest, times: same.length }];
      });
    },
  };
}
