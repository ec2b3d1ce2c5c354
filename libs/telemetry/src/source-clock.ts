/** What is known of the clock of one source: whether it runs ahead of ours, from how soon its messages seem to arrive. JSON, bounded. */
export interface SourceClock {
  /** By how much the clock is taken to run ahead, ms; 0 where it is not. */
  readonly aheadMs: number;
  /** The shortest delays (arrival - event time, ms, up to 4, rising) of the 30 messages before the present run of 30. */
  readonly earlier: readonly number[];
  /** The same of the present run. */
  readonly present: readonly number[];
  /** Messages in the present run. */
  readonly count: number;
}

export const unobservedClock: SourceClock = { aheadMs: 0, earlier: [], present: [], count: 0 };

const runLength = 30;
const kept = 4;
/** A clock that looks this far ahead is corrected; one that is corrected and looks less ahead than the second figure no longer is. */
const aheadFromMs = 2000;
const aheadUntilMs = 1000;
/** The correction moves in steps, so that the scatter of the delays does not become a scatter of event times. */
const stepMs = 500;
/** Longer delays are backlog and tell nothing of the clock. */
const longestDelayMs = 10_000;

/**
 * Takes one more delay into account.
 *
 * A message cannot arrive before it was sent: where even the shortest delays of the last 30 to 60 messages are negative, the source's clock runs
 * ahead by about that much. The shortest is taken robustly, past one message in twenty and one more, so that a few wrong time stamps do not count.
 * Source: the minimum filter of clock comparison over one-way delays, as common in network timing; figures are our own choice.
 * @param delayMs arrival less event time, ms
 */
export function observeDelay(clock: SourceClock, delayMs: number): SourceClock {
  if (delayMs > longestDelayMs) return clock;
  const present = shortest(clock.present, delayMs);
  const isRunOver = clock.count + 1 === runLength;
  const earlier = isRunOver ? present : clock.earlier;
  const runs = { earlier, present: isRunOver ? [] : present, count: isRunOver ? 0 : clock.count + 1 };
  // Nothing looks ahead and nothing is corrected: the usual case needs no estimate.
  const aheadMs =
    clock.aheadMs === 0 && delayMs >= -aheadFromMs ? 0 : corrected(clock.aheadMs, -robustMinimum(runs));
  return { earlier: runs.earlier, present: runs.present, count: runs.count, aheadMs };
}

function corrected(heldMs: number, estimateMs: number): number {
  if (heldMs === 0 ? estimateMs <= aheadFromMs : estimateMs < aheadUntilMs) return 0;
  return Math.abs(estimateMs - heldMs) > stepMs ? estimateMs : heldMs;
}

function robustMinimum({ earlier, present, count }: Omit<SourceClock, 'aheadMs'>): number {
  const messages = (earlier.length > 0 ? runLength : 0) + count;
  const rank = Math.min(messages, 1 + Math.ceil(messages / 20));
  return [...earlier, ...present].sort((a, b) => a - b)[rank - 1] ?? 0;
}

function shortest(delays: readonly number[], delayMs: number): readonly number[] {
  const longest = delays[kept - 1];
  if (longest !== undefined && delayMs >= longest) return delays;
  return [...delays, delayMs].sort((a, b) => a - b).slice(0, kept);
}
