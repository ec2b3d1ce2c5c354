/** What is remembered of the machine's clock. */
export interface ClockWatch {
  /** Wall clock less steady clock at the last look, ms. */
  readonly aheadMs: number | null;
  /** The last jump: how far (later is positive), when by the steady clock, and the wall clock after it. */
  readonly jump: { readonly byMs: number; readonly steadyMs: number; readonly wallMs: number } | null;
  readonly jumps: number;
}

export const clockNotSeen: ClockWatch = { aheadMs: null, jump: null, jumps: 0 };

/** Less than this between two looks is what a time service does when it moves the clock slowly, ms. Our own choice. */
const jumpFromMs = 2000;

/** One look at the wall clock and at a clock that never jumps, both in ms and read at the same moment. */
export function watchClock(watch: ClockWatch, wallMs: number, steadyMs: number): ClockWatch {
  const aheadMs = wallMs - steadyMs;
  const byMs = watch.aheadMs === null ? 0 : aheadMs - watch.aheadMs;
  if (Math.abs(byMs) < jumpFromMs) return { ...watch, aheadMs };
  return { aheadMs, jump: { byMs, steadyMs, wallMs }, jumps: watch.jumps + 1 };
}
