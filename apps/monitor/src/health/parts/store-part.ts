import { reason } from '@edge-margin/units';
import type { DelayHistogram } from '../../metrics/delay-histogram.js';
import { figure, type PartReading, sign } from '../part-reading.js';

/** Whether series, records and states are stored. */
export function storePart(
  store: { readonly failure: Error | undefined },
  commitDelay: DelayHistogram,
): PartReading {
  const { failure } = store;
  const because = failure === undefined ? undefined : reason(codeOf(failure), failure.message);
  return {
    part: 'store',
    state: because === undefined ? 'ok' : 'down',
    because: because === undefined ? [] : [because],
    blocks: because !== undefined,
    figures: [
      figure('commit-delay-p50', 'a transaction, half within', commitDelay.recentQuantile(0.5), 's'),
      figure('commit-delay-p99', 'a transaction, 99 of 100 within', commitDelay.recentQuantile(0.99), 's'),
      figure('commits', 'transactions', commitDelay.cumulative().at(-1) ?? 0, 'count'),
    ],
    troubles: [sign('store-failing', 'reached', because)],
  };
}

function codeOf(failure: Error & { readonly code?: unknown }): string {
  return typeof failure.code === 'string' ? `store-${failure.code.toLowerCase()}` : 'store-failing';
}
