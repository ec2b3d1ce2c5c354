import type { AlarmStage } from '@edge-margin/alarms';
import type { TroubleSign } from './own-trouble.js';
import { troubleDelays } from './own-trouble.js';

/** What was last reported of one trouble, and what has been seen since. */
export interface TroubleWatch {
  readonly reported: AlarmStage | null;
  /** Code of the reason that was reported; null where nothing is. */
  readonly code: string | null;
  /** What is seen instead of what was reported, and since when; null where they agree. */
  readonly seen: { readonly stage: AlarmStage | null; readonly sinceMs: number } | null;
}

export interface TroubleStep {
  readonly watch: TroubleWatch;
  /** True where this sign is to be reported. */
  readonly report: boolean;
}

/** Nothing was reported. */
export const nothingReported: TroubleWatch = { reported: null, code: null, seen: null };

const rank = { none: 0, foreseen: 1, reached: 2 } as const;

/**
 * One look at a trouble: whether it is to be reported. A worse stage is reported when it, or a worse one, has been seen for the trouble's
 * on-delay, a lesser one when it, or a lesser one, has been seen for the off-delay; the same stage again only with a reason of another code.
 * @param nowMs a clock that never jumps, ms
 */
export function watchTrouble(watch: TroubleWatch, sign: TroubleSign, nowMs: number): TroubleStep {
  const direction = Math.sign(rank[sign.stage ?? 'none'] - rank[watch.reported ?? 'none']);
  if (direction === 0) return sameStage(watch, sign);
  const { onDelayS, offDelayS } = troubleDelays(sign.trouble);
  const before = watch.seen;
  const goesOn =
    before !== null && Math.sign(rank[before.stage ?? 'none'] - rank[watch.reported ?? 'none']) === direction;
  const sinceMs = goesOn ? before.sinceMs : nowMs;
  if (nowMs - sinceMs < (direction > 0 ? onDelayS : offDelayS) * 1000)
    return { watch: { ...watch, seen: { stage: sign.stage, sinceMs } }, report: false };
  return { watch: reportedAs(sign), report: true };
}

function sameStage(watch: TroubleWatch, sign: TroubleSign): TroubleStep {
  if (sign.stage === null || watch.code === sign.because.code)
    return { watch: watch.seen === null ? watch : { ...watch, seen: null }, report: false };
  return { watch: reportedAs(sign), report: true };
}

function reportedAs({ stage, because }: TroubleSign): TroubleWatch {
  return { reported: stage, code: stage === null ? null : because.code, seen: null };
}
