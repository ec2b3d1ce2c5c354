/** How long a sign-in lasts. */
export interface SessionRule {
  /** Without a request, ms. */
  readonly idleMs: number;
  /** In all, ms. */
  readonly longestMs: number;
}

/** Instants of one session, epoch ms. */
export interface SessionTimes {
  readonly createdAtMs: number;
  readonly lastUsedAtMs: number;
}

/** The last use is written down at most this often, so that reading does not become writing. */
export const lastUseWrittenEveryMs = 60_000;

/** When the session ends if nothing more is asked, epoch ms. */
export function sessionEndsAtMs(times: SessionTimes, rule: SessionRule): number {
  return Math.min(times.createdAtMs + rule.longestMs, times.lastUsedAtMs + rule.idleMs);
}

/** Whether the session still counts. One from the future (the clock was set back) lasts no longer than any other would from now. */
export function isSessionLive(times: SessionTimes, rule: SessionRule, nowMs: number): boolean {
  if (times.createdAtMs > nowMs + rule.longestMs) return false;
  return nowMs < sessionEndsAtMs(times, rule);
}

/** Whether the use now is to be written down. */
export function isUseWorthWriting(lastUsedAtMs: number | null, nowMs: number): boolean {
  return lastUsedAtMs === null || Math.abs(nowMs - lastUsedAtMs) >= lastUseWrittenEveryMs;
}
