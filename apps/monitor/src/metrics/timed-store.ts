import { performance } from 'node:perf_hooks';
import type { PipelineStore } from '../monitoring/pipeline-parts.js';
import type { DelayHistogram } from './delay-histogram.js';

/** The store, with the time that each transaction takes counted. One that fails is not counted. */
export function timedStore(store: PipelineStore, delay: DelayHistogram): PipelineStore {
  return {
    ...store,
    commit: (batch) => {
      const beginMs = performance.now();
      const applied = store.commit(batch);
      delay.observe((performance.now() - beginMs) / 1000);
      return applied;
    },
  };
}
