import type { AlarmTransition, AlarmView } from '@edge-margin/alarms';
import type { RollRecord } from '@edge-margin/roll-geometry';
import type { SeriesSample } from '@edge-margin/series';
import type { ReadingNotUsed } from '@edge-margin/telemetry';
import type { Reason } from '@edge-margin/units';
import type { StationAssessment } from './assessment.js';

/**
 * What a journal row brings about. An effect's id is made of station, key, event time of the occurrence and kind, never of a journal position;
 * doing it twice changes nothing.
 */
export type Effect =
  | { readonly kind: 'samples'; readonly samples: readonly SeriesSample[] }
  | { readonly kind: 'assessment'; readonly id: string; readonly assessment: StationAssessment }
  | { readonly kind: 'alarm-transition'; readonly id: string; readonly transition: AlarmTransition }
  /** The alarm's words or input quality changed without a transition. */
  | { readonly kind: 'alarm-view'; readonly view: AlarmView }
  | { readonly kind: 'roll'; readonly id: string; readonly roll: RollRecord }
  | { readonly kind: 'not-used'; readonly notUsed: ReadingNotUsed }
  | { readonly kind: 'gap'; readonly id: string; readonly gap: Gap }
  | { readonly kind: 'command-answer'; readonly commandId: string; readonly answer: CommandAnswer };

/** Something that was sent and did not reach us, as far as it can be noticed. */
export interface Gap {
  /** What is missing: `messages`. */
  readonly what: string;
  readonly fromMs: number;
  readonly toMs: number;
  /** How many messages, where it is known. */
  readonly count: number | null;
  readonly because: Reason;
}

export type CommandAnswer =
  | { readonly ok: true; readonly alarm: AlarmView }
  | { readonly ok: false; readonly failure: 'not-found' | 'conflict'; readonly because: Reason };
