import type { AlarmTransition } from '@edge-margin/alarms';
import type { ReadingsNotUsedBody } from '@edge-margin/monitoring';
import type { SeriesQuery, Trend } from '@edge-margin/series';
import type { GapQuery, GapRow } from '@edge-margin/store-sqlite';

/** What the HTTP side reads from the store. */
export interface Records {
  readonly trend: (query: SeriesQuery) => Promise<Trend>;
  /** Newest first. */
  readonly gaps: (query: GapQuery) => readonly GapRow[];
  /** Newest first; both ends included. */
  readonly alarmTransitions: (range: {
    readonly fromMs: number;
    readonly toMs: number;
    readonly limit: number;
  }) => readonly AlarmTransition[];
  readonly readingsNotUsed: () => ReadingsNotUsedBody;
}
