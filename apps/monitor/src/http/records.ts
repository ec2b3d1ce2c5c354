import type { AlarmTransition } from '@edge-margin/alarms';
import type { ReadingsNotUsedBody } from '@edge-margin/monitoring';
import type { SeriesStore } from '@edge-margin/series';

/** What the HTTP side reads from the store. */
export interface Records {
  readonly query: SeriesStore['query'];
  /** Newest first; both ends included. */
  readonly alarmTransitions: (range: {
    readonly fromMs: number;
    readonly toMs: number;
    readonly limit: number;
  }) => readonly AlarmTransition[];
  readonly readingsNotUsed: () => ReadingsNotUsedBody;
}
