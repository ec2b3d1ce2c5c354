import type { RollRecord } from '@edge-margin/roll-geometry';
import type { AlarmTransition, AlarmView } from '@edge-margin/alarms';
import type { SeriesSample } from '@edge-margin/series';
import type { GapRow } from './gap-records.js';
import type { NotUsedCount } from './not-used-records.js';
import type { OutboxMessage } from './outbox.js';

/** State of one station as text (JSON), whole. */
export interface StationStateRow {
  readonly stationKey: string;
  readonly json: string;
}

/** Everything that the journal rows up to `position` brought about since the batch before. */
export interface StoreBatch {
  /** Journal position reached, whole, >= 0. */
  readonly position: number;
  readonly samples?: readonly SeriesSample[];
  readonly alarmTransitions?: readonly AlarmTransition[];
  /** Alarms whose words or input quality changed without a transition. */
  readonly alarmViews?: readonly AlarmView[];
  readonly rolls?: readonly RollRecord[];
  readonly notUsed?: readonly NotUsedCount[];
  readonly gaps?: readonly GapRow[];
  readonly stationStates?: readonly StationStateRow[];
  /** State of the decoding as text (JSON); left out where it did not change. */
  readonly decoderState?: string;
  readonly outbox?: readonly OutboxMessage[];
}

export interface CommitOutcome {
  /** False where the store had reached the position already: nothing was changed. */
  readonly applied: boolean;
}
