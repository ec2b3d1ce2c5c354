import type { JournalRow } from '@edge-margin/telemetry';
import type { FoldedRow } from '../monitoring/pipeline-parts.js';
import { type DelayHistogram, delayHistogram } from './delay-histogram.js';

/** What became of a message: every value used, some, none, or no reading asked of it. */
export type MessageOutcome = 'used' | 'partly' | 'not-used' | 'nothing-asked';

/** What the service counts while it works, in plain numbers. */
export interface Tally {
  readonly messages: Record<MessageOutcome, number>;
  readonly rows: Record<JournalRow['kind'], number>;
  /** From the source's time of the cell that was assessed to the end of its assessment. */
  readonly assessmentDelay: DelayHistogram;
  /** One transaction of the store. */
  readonly commitDelay: DelayHistogram;
  /** From the append of a row to the news that it is on disk; one row of each group commit. */
  readonly durableDelay: DelayHistogram;
  alarmTransitions: number;
}

export function createTally(): Tally {
  return {
    messages: { used: 0, partly: 0, 'not-used': 0, 'nothing-asked': 0 },
    rows: { message: 0, command: 0, config: 0, link: 0, tick: 0 },
    assessmentDelay: delayHistogram([0.5, 1, 2, 3, 4, 5, 7, 10, 20, 30, 60, 300, 3600]),
    commitDelay: delayHistogram([0.0005, 0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 5]),
    durableDelay: delayHistogram([0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 5, 10]),
    alarmTransitions: 0,
  };
}

/** Counts a row that was folded. */
export function countRow(tally: Tally, { row, effects }: FoldedRow, nowMs: number): void {
  tally.rows[row.kind] += 1;
  let used = false;
  let notUsed = false;
  for (const effect of effects) {
    if (effect.kind === 'samples') used ||= effect.samples[0]?.measurement === 'reading';
    else if (effect.kind === 'not-used') notUsed = true;
    else if (effect.kind === 'alarm-transition') tally.alarmTransitions += 1;
    else if (effect.kind === 'assessment')
      tally.assessmentDelay.observe((nowMs - effect.assessment.atMs) / 1000);
  }
  if (row.kind !== 'message') return;
  tally.messages[outcomeOf(used, notUsed)] += 1;
}

function outcomeOf(used: boolean, notUsed: boolean): MessageOutcome {
  if (used) return notUsed ? 'partly' : 'used';
  return notUsed ? 'not-used' : 'nothing-asked';
}
