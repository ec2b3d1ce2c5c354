/** How many a second, over the last ten seconds or less. */
export interface RecentRate {
  readonly add: (count: number, atMs: number) => void;
  readonly perS: (nowMs: number) => number;
}

const spanMs = 10_000;

/** Nothing was counted yet. */
export function createRecentRate(): RecentRate {
  let entries: readonly { readonly atMs: number; readonly count: number }[] = [];
  return {
    add: (count, atMs) => {
      entries = [...entries.filter((entry) => entry.atMs > atMs - spanMs), { atMs, count }];
    },
    perS: (nowMs) =>
      entries.reduce((sum, { atMs, count }) => (atMs > nowMs - spanMs ? sum + count : sum), 0) /
      (spanMs / 1000),
  };
}
