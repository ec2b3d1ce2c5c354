import type { Journal } from '@edge-margin/journal';
import { foldRow, type MonitorDependencies, restoreMonitor, savedStates } from '@edge-margin/monitoring';
import type { GapRow } from '@edge-margin/store-sqlite';
import { reason } from '@edge-margin/units';
import type { PipelineStore } from './pipeline-parts.js';
import { reachedPosition, type SavedState, stationStates, statesUpTo } from './saved-position.js';

/** What is needed to begin with rows whose predecessors are gone. */
export interface BeginningOptions {
  readonly store: PipelineStore;
  readonly journal: Pick<Journal, 'firstPosition'>;
  readonly plantFile: { readonly text: string; readonly revision: string };
  readonly dependencies: MonitorDependencies;
  /** Called where rows are missing between what the store has reached and what the journal still holds. */
  readonly onMissing: (missing: { readonly from: number; readonly to: number }) => void;
}

/**
 * The store, made to begin with the first row that the journal still holds where it has not reached that by itself: the store was lost or is an
 * old copy, and the journal has let go of its beginning since. What was saved is kept; a store without anything begins with the present
 * plant file, because the row that named it is gone.
 */
export function beginWhereJournalBegins(options: BeginningOptions): PipelineStore {
  const { store, journal, onMissing } = options;
  const states = store.readStates();
  const reached = reachedPosition(states);
  const before = journal.firstPosition() - 1;
  if (reached >= before) return store;
  onMissing({ from: reached + 1, to: before });
  const kept = [...stationStates(states)].map(([stationKey, json]) => ({ stationKey, json }));
  const begun = statesUpTo(before, kept.length > 0 ? kept : statesOfPlant(options, before));
  return { ...store, readStates: () => begun };
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
