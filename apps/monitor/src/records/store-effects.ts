import type { Effect } from '@edge-margin/monitoring';
import { countNotUsed, type OutboxMessage, type Store, type StoreBatch } from '@edge-margin/store-sqlite';
import type { Committed } from '../monitoring/effect-batches.js';
import type { PipelineStore } from '../monitoring/pipeline-parts.js';

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

type OfKind<K extends Effect['kind']> = Extract<Effect, { readonly kind: K }>;

/** Nearly all effects are samples and assessments, by the thousand: one pass, and no list for each of them. */
function batchOf(
  { position, effects, states }: Committed,
  messagesOf: (effect: Effect) => readonly OutboxMessage[],
): StoreBatch {
  const samples: OfKind<'samples'>['samples'][number][] = [];
  const outbox: OutboxMessage[] = [];
  const others: Effect[] = [];
  for (const effect of effects) {
    if (effect.kind === 'samples') for (const sample of effect.samples) samples.push(sample);
    else if (effect.kind !== 'assessment') others.push(effect);
    for (const message of messagesOf(effect)) outbox.push(message);
  }
  const of = <K extends Effect['kind']>(kind: K) =>
    others.filter((effect): effect is OfKind<K> => effect.kind === kind);
  return {
    position,
    samples,
    alarmTransitions: of('alarm-transition').map(({ transition }) => transition),
    alarmViews: of('alarm-view').map(({ view }) => view),
    rolls: of('roll').map(({ roll }) => roll),
    notUsed: countNotUsed(of('not-used').map(({ notUsed }) => notUsed)),
    gaps: of('gap').map(({ id, gap }) => ({ id, ...gap })),
    stationStates: states,
    outbox,
  };
}
