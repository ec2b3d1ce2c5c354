import type { SeriesId } from '@edge-margin/series';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createSeriesById } from './series-by-id.js';

const name = fc.constantFrom('a', 'b', 'a b', '');
const seriesId: fc.Arbitrary<SeriesId> = fc.record({
  measurement: fc.constantFrom('reading' as const, 'assessment' as const),
  winderId: name,
  stationId: name,
  end: fc.constantFrom('tending' as const, 'drive' as const, 'both' as const),
  field: name,
});

describe('series by id', () => {
  it('are told apart by every part of the id, and the last one kept under an id stands', () => {
    fc.assert(
      fc.property(
        fc.array(seriesId, { maxLength: 60 }),
        fc.array(seriesId, { maxLength: 10 }),
        (kept, others) => {
          const byId = createSeriesById();
          const expected = new Map<string, number>();
          const keyOf = (id: SeriesId): string =>
            JSON.stringify([id.measurement, id.winderId, id.stationId, id.end, id.field]);
          kept.forEach((id, number) => {
            byId.set({ number, id, hasText: false });
            expected.set(keyOf(id), number);
          });
          for (const id of [...kept, ...others])
            expect(byId.get({ ...id })?.number).toBe(expected.get(keyOf(id)));
          byId.clear();
          for (const id of kept) expect(byId.get(id)).toBeUndefined();
        },
      ),
    );
  });
});
