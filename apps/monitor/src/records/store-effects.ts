import type { Effect } from '@edge-margin/monitoring';
import { countNotUsed, type OutboxMessage, type Store, type StoreBatch } from '@edge-margin/store-sqlite';
import type { Committed } from '../monitoring/effect-batches.js';
import type { PipelineStore } from '../monitoring/pipeline.js';

/** The store as the pipeline sees it. What an effect means for the outbox is told by `messagesOf`. */
export function pipelineStore(
  store: Store,
  messagesOf: (effect: Effect) => readonly OutboxMessage[],
): PipelineStore {
  return {
    readPosition: store.readPosition,
    readStates: () => [...store.readStates()].map(([stationKey, json]) => ({ stationKey, json })),
    commit: (committed) => store.commitBatch(batchOf(committed, messagesOf)).applied,
  };
}

function batchOf(
  { position, effects, states }: Committed,
  messagesOf: (effect: Effect) => readonly OutboxMessage[],
): StoreBatch {
  const of = <K extends Effect['kind']>(kind: K) =>
    effects.filter((effect): effect is Extract<Effect, { kind: K }> => effect.kind === kind);
  return {
    position,
    samples: of('samples').flatMap(({ samples }) => samples),
    alarmTransitions: of('alarm-transition').map(({ transition }) => transition),
    alarmViews: of('alarm-view').map(({ view }) => view),
    rolls: of('roll').map(({ roll }) => roll),
    notUsed: countNotUsed(of('not-used').map(({ notUsed }) => notUsed)),
    gaps: of('gap').map(({ id, gap }) => ({ id, ...gap })),
    stationStates: states,
    outbox: effects.flatMap((effect) => messagesOf(effect)),
  };
}
