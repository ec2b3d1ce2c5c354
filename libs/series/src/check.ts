import type { SeriesQuery, SeriesSample } from './series-store.js';
import { leastMaxPoints } from './thin.js';

/**
 * Refuses a sample that no store can keep.
 * @throws RangeError if `atMs` is not a whole number of ms or `value` is not finite.
 */
export function checkSample(sample: SeriesSample): void {
  checkInstant('atMs', sample.atMs);
  if (typeof sample.value === 'number' && !Number.isFinite(sample.value)) {
    throw new RangeError(
      `value: a finite number or a text is needed for ${sample.field}, got ${sample.value}`,
    );
  }
}

/**
 * Refuses a query that has no answer. A range whose end is not after its start is empty, not wrong.
 * @throws RangeError if `fromMs` or `toMs` is not a whole number of ms, or `maxPoints` not a whole number >= `leastMaxPoints`.
 */
export function checkSeriesQuery(query: SeriesQuery): void {
  checkInstant('fromMs', query.fromMs);
  checkInstant('toMs', query.toMs);
  if (!Number.isSafeInteger(query.maxPoints) || query.maxPoints < leastMaxPoints) {
    throw new RangeError(`maxPoints: a whole number >= ${leastMaxPoints} is needed, got ${query.maxPoints}`);
  }
}

function checkInstant(name: string, atMs: number): void {
  if (!Number.isSafeInteger(atMs))
    throw new RangeError(`${name}: a whole number of ms is needed, got ${atMs} ms`);
}
