import type { Journal } from '@edge-margin/journal';
import { foldRow, type MonitorDependencies, restoreMonitor, savedStates } from '@edge-margin/monitoring';
import type { GapRow } from '@edge-margin/store-sqlite';
import { reason } from '@edge-margin/units';
import type { PipelineStore } from './pipeline.js';

type SavedState = ReturnType<PipelineStore['readStates']>[number];

/** What is needed to begin with rows whose predecessors are gone. */
export interface BeginningOptions {
  readonly store: PipelineStore;
  readonly journal: Pick<Journal, 'firstPosition'>;
  readonly plantFile: { readonly text: string; readonly revision: string };
  readonly dependencies: MonitorDependencies;
  /** Called where rows are missing between what the store has reached and what the journal still holds. */
  readonly onMissing: (missing: { readonly from: number; readonly to: number }) => void;
}

/** Key of the row that says which position the saved states have reached. */
const stateOfAll = '';

/**
 * The store, made to begin with the first row that the journal still holds where it has not reached that by itself: the store was lost or is an
 * old copy, and the journal has let go of its beginning since. What was saved is kept; a store without anything begins with the present
 * plant file, because the row that named it is gone.
 */
export function beginWhereJournalBegins(options: BeginningOptions): PipelineStore {
  const { store, journal, onMissing } = options;
  const states = store.readStates();
  const reached = positionOf(states);
  const before = journal.firstPosition() - 1;
  if (reached >= before) return store;
  onMissing({ from: reached + 1, to: before });
  const kept = states.filter(({ stationKey }) => stationKey !== stateOfAll);
  const begun = kept.length > 0 ? kept : statesOfPlant(options, before);
  return {
    ...store,
    readStates: () => [...begun, { stationKey: stateOfAll, json: JSON.stringify({ position: before }) }],
  };
}

function positionOf(states: readonly SavedState[]): number {
  const saved = states.find(({ stationKey }) => stationKey === stateOfAll);
  return saved === undefined ? 0 : (JSON.parse(saved.json) as { position: number }).position;
}

function statesOfPlant({ plantFile, dependencies }: BeginningOptions, position: number): SavedState[] {
  const { text, revision } = plantFile;
  const row = { kind: 'config', position, arrivedAtMs: 0, plantFile: text, revision } as const;
  const { monitor, touched } = foldRow(restoreMonitor(new Map(), dependencies), row, dependencies);
  return savedStates(monitor, touched);
}

/** The gap that missing rows leave. Their times went with them, so it is recorded for the moment at which it was found, epoch ms. */
export function rowsMissing(from: number, to: number, foundAtMs: number): GapRow {
  return {
    id: `journal:${from}-${to}`,
    what: 'messages',
    fromMs: foundAtMs,
    toMs: foundAtMs,
    count: null,
    because: reason(
      'journal-rows-gone',
      `the store had reached journal position ${from - 1}, but the journal begins at ${to + 1}: the rows in between were not used`,
      { from, to },
    ),
  };
}
