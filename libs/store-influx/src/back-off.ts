/**
 * How long to wait before the next attempt, ms: 1 s, doubled with each failure up to 60 s, of which the upper half is left to chance,
 * so that several writers do not come back at the same moment.
 *
 * @param failures Failures in a row, whole, >= 1.
 * @param random A number in [0, 1).
 */
export function backOffMs(failures: number, random: number): number {
  const fullMs = Math.min(60_000, 1000 * 2 ** (failures - 1));
  return fullMs * (0.5 + random / 2);
}
