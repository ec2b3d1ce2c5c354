import type { Reading } from '@edge-margin/telemetry';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { addReading, type Cell, type OpenCell, signalKey } from './cell.js';

const reading = (atMs: number, value: number): Reading => ({
  stationKey: 'w/a',
  signal: 'nipLoad',
  end: 'drive',
  atMs,
  arrivedAtMs: atMs + 50,
  timeFromArrival: false,
  value,
  uncertainty: 1,
  retained: false,
});
const cellOf = (readings: readonly Reading[]): Cell => {
  const cell: OpenCell = {};
  for (const reading of readings) addReading(cell, reading);
  return cell;
};

describe('a cell of the event-time grid', () => {
  it('does not depend on the order in which readings of different times arrive', () => {
    const some = fc.uniqueArray(
      fc.record({ atMs: fc.integer({ min: 0, max: 999 }), value: fc.integer({ min: -1000, max: 1000 }) }),
      {
        selector: (r) => r.atMs,
        minLength: 1,
        maxLength: 12,
      },
    );
    fc.assert(
      fc.property(
        some.chain((rows) =>
          fc.tuple(fc.constant(rows), fc.shuffledSubarray(rows, { minLength: rows.length })),
        ),
        ([rows, shuffled]) => {
          const make = (list: typeof rows): Cell => cellOf(list.map((r) => reading(r.atMs, r.value)));
          expect(make(shuffled)).toEqual(make(rows));
        },
      ),
    );
  });

  it('counts a redelivered reading once', () => {
    const once = cellOf([reading(0, 5), reading(200, 7)]);
    expect(cellOf([reading(0, 5), reading(200, 7), reading(200, 7)])).toEqual(once);
  });

  it('takes the last value that came for the same time', () => {
    const signal = cellOf([reading(0, 5), reading(0, 8)])[signalKey('nipLoad', 'drive')];
    expect(signal).toMatchObject({ value: 8, sum: 8, count: 1 });
  });
});
