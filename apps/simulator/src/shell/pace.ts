import { setTimeout as wait } from 'node:timers/promises';

/** Where a paced run is: which wall-clock instant its period 0 began at. */
export interface Pace {
  readonly beganMs: number;
  /** Wall-clock length of one sample period. */
  readonly periodMs: number;
}

/** More behind than this (a sleeping machine, a stalled process), and the run goes on from now instead of catching up. */
const MOST_BEHIND_MS = 5000;

/** How far the run must be set forward so that the end of period `period` is not long past; 0: it is not. */
export function setForwardMs({ beganMs, periodMs }: Pace, period: number, nowMs: number): number {
  const behindMs = nowMs - (beganMs + (period + 1) * periodMs);
  return behindMs > MOST_BEHIND_MS ? Math.round(behindMs) : 0;
}

/** Waits for the end of period `period`. Ends early when `stop` is given. */
export async function waitFor({ beganMs, periodMs }: Pace, period: number, stop: AbortSignal): Promise<void> {
  const leftMs = beganMs + (period + 1) * periodMs - Date.now();
  if (leftMs <= 0) return;
  await wait(leftMs, undefined, { signal: stop }).catch(() => undefined);
}
