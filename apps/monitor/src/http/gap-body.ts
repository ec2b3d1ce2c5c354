import type { SeriesGap } from '@edge-margin/monitoring';
import type { GapRow } from '@edge-margin/store-sqlite';

/** A gap as it is told of; its id is the store's own. */
export function gapBodyOf({ what, fromMs, toMs, count, because }: GapRow): SeriesGap {
  return { what, fromMs, toMs, count, because };
}
