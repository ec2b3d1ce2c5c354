import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { seriesKey } from './series-key.js';
import type { SeriesId } from './series-store.js';

const word = fc.string({ unit: fc.constantFrom('a', '1', ' ', 'b'), maxLength: 4 });
const id = fc.record<SeriesId>({
  measurement: fc.constantFrom('reading', 'assessment'),
  winderId: word,
  stationId: word,
  end: fc.constantFrom('tending', 'drive', 'both'),
  field: word,
});

describe('the key of a series', () => {
  it('is the same for the same series and different for different ones', () => {
    fc.assert(
      fc.property(id, id, (one, other) => {
        const same = JSON.stringify(one) === JSON.stringify(other);
        expect(seriesKey(one) === seriesKey(other)).toBe(same);
      }),
      { numRuns: 2000 },
    );
  });

  it('does not depend on what else an object carries', () => {
    const one: SeriesId = {
      measurement: 'reading',
      winderId: 'w',
      stationId: 's',
      end: 'both',
      field: 'speed',
    };
    expect(seriesKey({ ...one, atMs: 1, value: 2 } as SeriesId)).toBe(seriesKey(one));
  });
});
