const firstMs = 1000;
const longestMs = 30_000;

/**
 * Pause before the next attempt to connect, ms: doubles from 1 s to 30 s, of which a random half is left out, so that many clients of
 * one broker do not come back in step.
 * @param failures Attempts that have failed in a row, from 0.
 * @param random A number from 0 up to 1.
 */
export function backOffMs(failures: number, random: number): number {
  const whole = Math.min(longestMs, firstMs * 2 ** Math.min(failures, 20));
  return Math.round(whole * (0.5 + random / 2));
}
