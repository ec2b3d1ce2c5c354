import type { BrokerLog } from './broker-client-options.js';
import { silenceGap, type SilenceGap } from './silence-gap.js';
import { type ExpectedSource, type SilentSource, type SourceWatch, watchSources } from './source-watch.js';

export interface SilenceWatchOptions {
  readonly expected: readonly ExpectedSource[];
  readonly silentAfterMs: number | undefined;
  readonly log: BrokerLog;
  /** Told of a silence when it begins, every half a minute, and when it is over. */
  readonly onSilence: ((gap: SilenceGap) => void) | undefined;
}

export interface SilenceWatch extends Omit<SourceWatch, 'silent'> {
  /** To be called about once a second. */
  readonly look: (atMs: number) => void;
  /** As of the last look. */
  readonly silent: () => readonly SilentSource[];
}

const toldEveryMs = 30_000;

/** Watches expected sources, and has the silence of any of them recorded. */
export function watchSilence(options: SilenceWatchOptions): SilenceWatch {
  const sources = watchSources(options.expected, options.silentAfterMs);
  let silent: readonly SilentSource[] = [];
  let toldAtMs = 0;
  let isFailing = false;

  function tell(gap: SilenceGap, atMs: number): void {
    try {
      options.onSilence?.(gap);
      toldAtMs = atMs;
      isFailing = false;
    } catch (error) {
      // Once: a store that refuses does so every second.
      if (!isFailing)
        options.log.warn({ err: error }, 'that nothing came could not be recorded; it is tried again');
      isFailing = true;
      toldAtMs = 0;
    }
  }

  return {
    ...sources,
    look: (atMs) => {
      const before = silent;
      silent = sources.silent(atMs);
      const isOld = silent.length === before.length && Math.abs(atMs - toldAtMs) < toldEveryMs;
      const gap = isOld ? undefined : silenceGap(before, silent, atMs);
      if (gap !== undefined) tell(gap, atMs);
    },
    silent: () => silent,
  };
}
