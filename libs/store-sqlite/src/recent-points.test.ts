import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { SeriesPoint, SeriesSample } from '@edge-margin/series';
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { type Connection, openConnection } from './connection.js';
import { createRecentPoints, type RecentPoints } from './recent-points.js';
import { createSampleWriter, type SampleWriter } from './sample-writer.js';

const startMs = 1_790_000_000_000;
const firstWindow = startMs / 10_000;
const seriesNumber = 7;
let directory = '';
let connection: Connection;
let recent: RecentPoints;
let writer: SampleWriter;
const open = (): void => {
  connection = openConnection(join(directory, 'store.sqlite'));
  recent = createRecentPoints(connection);
  writer = createSampleWriter(connection, recent);
};
beforeEach(() => {
  directory = mkdtempSync(join(tmpdir(), 'edge-margin-store-'));
  open();
});
afterEach(() => {
  connection.close();
  rmSync(directory, { recursive: true, force: true });
});
const reopen = (): void => {
  connection.close();
  open();
};

const sample = (offsetMs: number, value: number | string): SeriesSample => ({
  measurement: 'reading',
  winderId: 'w1',
  stationId: 'a',
  end: 'both',
  field: 'speed',
  atMs: startMs + offsetMs,
  value,
});
const write = (...samples: SeriesSample[]): void =>
  connection.transaction(() => writer(new Map([[seriesNumber, samples]])));
const seconds = (first: number, end: number): SeriesSample[] =>
  Array.from({ length: end - first }, (_, index) => sample((first + index) * 1000, first + index));
const stored = (window: number): SeriesPoint[] =>
  connection
    .prepare(
      'SELECT at_ms, value FROM sample WHERE series_id = ? AND at_ms >= ? AND at_ms < ? ORDER BY at_ms',
    )
    .raw()
    .all(seriesNumber, window * 10_000, (window + 1) * 10_000) as SeriesPoint[];
const kept = (window: number) => recent.ofWindow(seriesNumber, firstWindow + window);

describe('the recent points', () => {
  it('are what the table holds of the two newest windows, while batches come in order', () => {
    write(...seconds(0, 12).reverse());
    write(...seconds(12, 25), sample(25_000, 'stopped'));
    expect([0, 1, 2, 3].map((window) => kept(window)?.length)).toEqual([undefined, 10, 6, undefined]);
    for (const window of [1, 2]) expect(kept(window)).toEqual(stored(firstWindow + window));
  });

  it('are not given of a window that was under way when the store was opened, and are of the next', () => {
    write(...seconds(0, 5));
    reopen();
    write(...seconds(5, 15));
    expect(kept(0)).toBeUndefined();
    expect(kept(1)).toEqual(stored(firstWindow + 1));
    expect(kept(1)).toHaveLength(5);
  });

  it('are given up for a window into which something came late or again', () => {
    write(...seconds(0, 15));
    write(sample(9500, 1));
    expect([kept(0), kept(1)?.length]).toEqual([undefined, 5]);
    write(sample(14_000, 2), ...seconds(15, 18));
    expect([kept(0), kept(1)]).toEqual([undefined, undefined]);
    write(...seconds(20, 22));
    expect(kept(2)).toHaveLength(2);
  });

  it('know nothing of what was rolled back', () => {
    write(...seconds(0, 5));
    expect(() =>
      connection.transaction(() => {
        writer(new Map([[seriesNumber, seconds(5, 25)]]));
        throw new RangeError('no');
      }),
    ).toThrow(RangeError);
    expect([0, 1, 2].map(kept)).toEqual([undefined, undefined, undefined]);
    write(...seconds(10, 12));
    expect(kept(1)).toEqual(stored(firstWindow + 1));
    expect(kept(1)).toHaveLength(2);
  });

  it('are those of the table, or not given, whatever comes and whenever the store is opened again', () => {
    const offset = fc.integer({ min: 0, max: 60 });
    const step = fc.oneof(
      { weight: 5, arbitrary: fc.array(offset, { maxLength: 12 }) },
      { weight: 5, arbitrary: offset.map((first) => [first, first + 1, first + 2, first + 12]) },
      { weight: 1, arbitrary: fc.constant('reopen' as const) },
      { weight: 1, arbitrary: fc.constant('roll back' as const) },
    );
    let given = 0;
    fc.assert(
      fc.property(fc.array(step, { maxLength: 12 }), (steps) => {
        connection.transaction(() => connection.prepare('DELETE FROM sample').run());
        reopen();
        steps.forEach((taken, number) => {
          if (taken === 'reopen') reopen();
          else if (taken === 'roll back') expect(() => write(...seconds(50, 61), null as never)).toThrow();
          else write(...taken.map((second) => sample(second * 1000, number)));
          for (let window = 0; window <= 7; window += 1) {
            const points = kept(window);
            if (points === undefined) continue;
            given += 1;
            expect(points).toEqual(stored(firstWindow + window));
          }
        });
      }),
      { numRuns: 60 },
    );
    expect(given).toBeGreaterThan(20);
  }, 60_000);
});
