import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createMemorySeriesStore, type SeriesPoints, type SeriesSample } from '@edge-margin/series';
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openStore } from './open-store.js';
import { rowsAtATime } from './sample-writer.js';
import type { Store } from './store.js';

let directory = '';
let store: Store;
beforeEach(() => {
  directory = mkdtempSync(join(tmpdir(), 'edge-margin-store-'));
  store = openStore(join(directory, 'store.sqlite'));
});
afterEach(() => {
  store.close();
  rmSync(directory, { recursive: true, force: true });
});
const reopen = (): void => {
  store.close();
  store = openStore(join(directory, 'store.sqlite'));
};

const startMs = 1_790_000_000_000;
const sample = (field: string, offsetMs: number, value: number | string): SeriesSample => ({
  measurement: 'reading',
  winderId: 'w1',
  stationId: 'a',
  end: 'both',
  field,
  atMs: startMs + offsetMs,
  value,
});
const pointsOf = (field: string, of: Pick<Store['series'], 'query'> = store.series) =>
  of.query({ id: sample(field, 0, 0), fromMs: startMs - 1e9, toMs: startMs + 1e9, maxPoints: 1_000_000 })
    .points;
const inARow = (count: number, firstMs = 0): SeriesSample[] =>
  Array.from({ length: count }, (_, index) => sample('speed', firstMs + index * 100, index));

describe('writing samples', () => {
  it('keeps what a store in memory keeps, in whatever order, however often and in whatever batches they come', () => {
    const written = fc.record({
      field: fc.constantFrom('speed', 'tension', 'grade'),
      // Mostly onwards, so that both ways into the table are taken.
      back: fc.oneof({ weight: 4, arbitrary: fc.constant(0) }, { weight: 1, arbitrary: fc.nat(60) }),
      value: fc.oneof(
        fc.double({ noNaN: true, noDefaultInfinity: true }),
        fc.constantFrom('film', 'paper', '7'),
      ),
    });
    const batches = fc.array(fc.array(written, { maxLength: 80 }), { maxLength: 6 });
    fc.assert(
      fc.property(batches, fc.nat(6), (given, reopenAt) => {
        rmSync(directory, { recursive: true, force: true });
        store.close();
        directory = mkdtempSync(join(tmpdir(), 'edge-margin-store-'));
        store = openStore(join(directory, 'store.sqlite'));
        const reference = createMemorySeriesStore();
        let step = 0;
        given.forEach((batch, index) => {
          if (index === reopenAt) reopen();
          const samples = batch.map(({ field, back, value }) => sample(field, (step++ - back) * 100, value));
          store.series.write(samples);
          void reference.write(samples);
        });
        for (const field of ['speed', 'tension', 'grade'])
          expect(pointsOf(field)).toEqual(
            pointsOf(field, { query: (query) => reference.query(query) as SeriesPoints }),
          );
      }),
      { numRuns: 40 },
    );
  }, 60_000);

  it.each([1, rowsAtATime - 1, rowsAtATime, rowsAtATime + 1, 3 * rowsAtATime])(
    'writes all of %d rows',
    (count) => {
      store.series.write(inARow(count));
      expect(pointsOf('speed')).toEqual(inARow(count).map(({ atMs, value }) => [atMs, value]));
    },
  );

  it('lets the last of one instant win, within a batch and later', () => {
    store.series.write([...inARow(40), sample('speed', 1000, -1), sample('speed', 1000, -2)]);
    expect(pointsOf('speed')[10]).toEqual([startMs + 1000, -2]);
    store.series.write([sample('speed', 1000, -3), ...inARow(20, 4000), sample('speed', 3900, -4)]);
    expect([pointsOf('speed')[10], pointsOf('speed')[39]]).toEqual([
      [startMs + 1000, -3],
      [startMs + 3900, -4],
    ]);
    expect(pointsOf('speed')).toHaveLength(60);
  });

  it('writes again what a batch that failed had told it was written', () => {
    store.series.write(inARow(5));
    const spoilt = [...inARow(40, 500), sample('speed', 9000, NaN)];
    expect(() => store.series.write(spoilt)).toThrow(RangeError);
    expect(() =>
      store.commitBatch({ position: 1, samples: inARow(40, 500), gaps: [null as never] }),
    ).toThrow();
    expect(pointsOf('speed')).toHaveLength(5);
    store.series.write(inARow(40, 500));
    expect(pointsOf('speed')).toHaveLength(45);
  });
});
