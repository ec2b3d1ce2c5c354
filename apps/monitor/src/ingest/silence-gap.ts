import { type Reason, reason } from '@edge-margin/units';
import type { SilentSource } from './source-watch.js';

/** Nothing came from an expected source: messages may be missing. */
export interface SilenceGap {
  readonly id: string;
  readonly what: 'messages';
  readonly fromMs: number;
  readonly toMs: number;
  readonly count: null;
  readonly because: Reason;
}

const mostNamed = 5;

/**
 * The gap that sources which are, or until now were, silent leave. Nothing where none is and none was; the same id as long as the oldest
 * silence lasts.
 */
export function silenceGap(
  before: readonly SilentSource[],
  silent: readonly SilentSource[],
  atMs: number,
): SilenceGap | undefined {
  const quiet = silent.length > 0 ? silent : before;
  if (quiet.length === 0) return undefined;
  const fromMs = Math.min(...quiet.map(({ sinceMs }) => sinceMs));
  const named = quiet.slice(0, mostNamed).map(({ filter }) => filter);
  const others = quiet.length > mostNamed ? ` and ${quiet.length - mostNamed} more` : '';
  const text = `nothing came on ${named.join(', ')}${others}, though we were connected and subscribed`;
  const because = reason('nothing-came', text, { sources: quiet.length });
  return {
    id: `silence@${fromMs}`,
    what: 'messages',
    fromMs,
    toMs: Math.max(fromMs, atMs),
    count: null,
    because,
  };
}
