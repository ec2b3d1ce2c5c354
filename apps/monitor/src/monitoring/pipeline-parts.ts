import type { Journal } from '@edge-margin/journal';
import type { Effect, Monitor, MonitorDependencies } from '@edge-margin/monitoring';
import type { JournalRow } from '@edge-margin/telemetry';
import type { Logger } from 'pino';
import type { Committed } from './effect-batches.js';
import type { SavedState } from './saved-position.js';

/** What the pipeline needs of the store: effects once each, and states with the position they have reached. */
export interface PipelineStore {
  /** Position up to which effects are stored. */
  readonly readPosition: () => number;
  readonly readStates: () => readonly SavedState[];
  /** Returns false where the position was stored before: then nothing was changed, the states included. */
  readonly commit: (batch: Committed) => boolean;
}

/** What the pipeline needs of the journal. */
export type PipelineJournal = Pick<
  Journal,
  'append' | 'onAppend' | 'onDurable' | 'lastPosition' | 'durable' | 'read' | 'flush'
>;

export interface PipelineOptions {
  readonly journal: PipelineJournal;
  readonly store: PipelineStore;
  readonly dependencies: MonitorDependencies;
  readonly log: Logger;
  readonly now: () => number;
  /** Called after each turn with what it brought about, once that may be shown and sent. */
  readonly onEffects: (effects: readonly Effect[], monitor: Pick<Monitor, 'model'>) => void;
  /** Called after each turn with the rows that were folded for the first time, and what they brought about: for counting. */
  readonly onFolded?: (rows: readonly FoldedRow[]) => void;
}

/** A row with what it brought about. */
export interface FoldedRow {
  readonly row: JournalRow;
  readonly effects: readonly Effect[];
}
