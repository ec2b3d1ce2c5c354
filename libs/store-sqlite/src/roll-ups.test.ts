import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import {
  createMemorySeriesStore,
  type RolledResolution,
  rolledResolutions,
  rollUpPoints,
  type SeriesPoint,
  type SeriesSample,
  windowWidthMs,
} from '@edge-margin/series';
import Database from 'better-sqlite3';
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openStore } from './open-store.js';
import type { Store } from './store.js';
import { StoreError } from './store-error.js';

let directory = '';
let store: Store;
const reopen = (options = {}): void => {
  store.close();
  store = openStore(join(directory, 'store.sqlite'), options);
};
beforeEach(() => {
  directory = mkdtempSync(join(tmpdir(), 'edge-margin-store-'));
  store = openStore(join(directory, 'store.sqlite'));
});
afterEach(() => {
  store.close();
  rmSync(directory, { recursive: true, force: true });
});

const startMs = 1_790_000_000_000 - (1_790_000_000_000 % 3_600_000);
const hourMs = 3_600_000;
const speed = {
  measurement: 'reading',
  winderId: 'w1',
  stationId: 'a',
  end: 'both',
  field: 'speed',
} as const;
const sample = (offsetMs: number, value: number | string, field = 'speed'): SeriesSample => ({
  ...speed,
  field,
  atMs: startMs + offsetMs,
  value,
});
const everything = [startMs - 1000 * hourMs, startMs + 1000 * hourMs] as const;
const windows = (resolution: RolledResolution, field = 'speed') =>
  store.rollUps.windows({ ...speed, field }, resolution, ...everything);
const rollUpAll = (endedBeforeMs = startMs + 1000 * hourMs): void => {
  while (!store.rollUps.rollUpDue(endedBeforeMs, 7).done);
};
/** Means agree to rounding; what rounds to -0 is 0. */
const rounded = (found: readonly { readonly numbers: { readonly mean: number } | null }[]) =>
  found.map((window) => ({
    ...window,
    numbers: window.numbers && { ...window.numbers, mean: Math.round(window.numbers.mean * 1e6) / 1e6 + 0 },
  }));

type Step =
  | { readonly kind: 'write'; readonly samples: readonly (readonly [offsetMs: number, value: number])[] }
  | { readonly kind: 'roll-up'; readonly endedBeforeMs: number; readonly work: number }
  | { readonly kind: 'reopen' };
const offset = fc.integer({ min: 0, max: 2 * hourMs });
const step: fc.Arbitrary<Step> = fc.oneof(
  {
    weight: 4,
    arbitrary: fc.record({
      kind: fc.constant('write' as const),
      samples: fc.array(fc.tuple(offset, fc.integer({ min: -9, max: 9 })), { maxLength: 40 }),
    }),
  },
  {
    weight: 3,
    arbitrary: fc.record({
      kind: fc.constant('roll-up' as const),
      endedBeforeMs: offset,
      work: fc.integer({ min: 1, max: 60 }),
    }),
  },
  { weight: 1, arbitrary: fc.record({ kind: fc.constant('reopen' as const) }) },
);

describe('roll-ups in the store', () => {
  it('are those of the samples, whatever came late, was written again or is not rolled up yet', () => {
    fc.assert(
      fc.property(fc.array(step, { maxLength: 12 }), (steps) => {
        store.close();
        rmSync(directory, { recursive: true, force: true });
        directory = mkdtempSync(join(tmpdir(), 'edge-margin-store-'));
        store = openStore(join(directory, 'store.sqlite'));
        const reference = createMemorySeriesStore();
        for (const taken of steps) {
          if (taken.kind === 'reopen') reopen();
          else if (taken.kind === 'roll-up')
            store.rollUps.rollUpDue(startMs + taken.endedBeforeMs, taken.work);
          else {
            const samples = taken.samples.map(([offsetMs, value]) => sample(offsetMs, value));
            store.series.write(samples);
            void reference.write(samples);
          }
          const { points } = reference.query({
            id: speed,
            fromMs: everything[0],
            toMs: everything[1],
            maxPoints: 1_000_000,
          }) as { readonly points: readonly SeriesPoint[] };
          for (const resolution of rolledResolutions)
            expect(rounded(windows(resolution))).toEqual(
              rounded(rollUpPoints(points, windowWidthMs(resolution))),
            );
        }
      }),
      { numRuns: 25 },
    );
  }, 60_000);

  it('are worked through a bounded piece at a time, and leave open windows alone', () => {
    store.series.write(Array.from({ length: 600 }, (_, index) => sample(index * 1000, index)));
    expect(store.rollUps.dueWithin(speed, ...everything, 1000)).toBe(60);
    // By the end of the tenth minute less one second: 59 windows of 10 s, 9 of 1 min.
    const calls = [];
    for (let call = 0; call < 4; call += 1) calls.push(store.rollUps.rollUpDue(startMs + 599_000, 30));
    expect(calls).toEqual([
      { windows: 30, done: false },
      { windows: 30, done: false },
      { windows: 8, done: true },
      { windows: 0, done: true },
    ]);
    expect(store.rollUps.dueWithin(speed, ...everything, 1000)).toBe(1);
    expect(windows('10s')).toHaveLength(60);
  });

  it('keep nothing of a batch that failed', () => {
    reopen({ maxFileBytes: 400_000 });
    store.series.write([sample(0, 1)]);
    const tooMuch = Array.from({ length: 50_000 }, (_, index) => sample(index * 10, 100 + index));
    expect(() => store.series.write(tooMuch)).toThrow(StoreError);
    expect(store.rollUps.dueWithin(speed, ...everything, 1000)).toBe(1);
    store.series.write([sample(20_000, 2)]);
    expect(windows('1min')).toMatchObject([{ count: 2, last: [startMs + 20_000, 2] }]);
  });

  it('outlive the samples: what leaves is rolled up first', () => {
    store.series.write(Array.from({ length: 7200 }, (_, index) => sample(index * 1000, index)));
    const before = rolledResolutions.map((resolution) => rounded(windows(resolution)));
    while (!store.retention.dropSamplesBefore(startMs + 1.5 * hourMs, 500).done);
    expect(store.rollUps.oldestMs(speed, 'raw')).toBe(startMs + 1.5 * hourMs);
    expect(store.rollUps.oldestMs(speed, '10s')).toBe(startMs);
    expect(rolledResolutions.map((resolution) => rounded(windows(resolution)))).toEqual(before);
    while (!store.rollUps.dropBefore('10s', startMs + 1.4 * hourMs, 100).done);
    expect(store.rollUps.oldestMs(speed, '10s')).toBe(startMs + 1.4 * hourMs);
    rollUpAll();
    expect([rounded(windows('1min')), rounded(windows('1h'))]).toEqual(before.slice(1));
    while (!store.rollUps.dropBefore('1min', startMs + 1.2 * hourMs, 10).done);
    expect(store.rollUps.oldestMs(speed, '1min')).toBe(startMs + hourMs); // by whole hours
    expect(rounded(windows('1h'))).toEqual(before[2]);
    while (!store.rollUps.dropBefore('1h', startMs + hourMs, 10).done);
    expect(windows('1h')).toHaveLength(1);
  });

  it('take in what comes when the rest of its window is no longer there', () => {
    store.series.write(Array.from({ length: 3600 }, (_, index) => sample(index * 1000, 10)));
    while (!store.retention.dropSamplesBefore(startMs + 0.9 * hourMs, 500).done);
    while (!store.rollUps.dropBefore('10s', startMs + 0.5 * hourMs, 500).done);
    store.series.write([sample(61_500, 99), sample(50 * 60_000 + 500, -99)]);
    for (let round = 0; round < 2; round += 1) {
      expect(windows('1h')).toMatchObject([
        { count: 3602, numbers: { low: [startMs + 50 * 60_000 + 500, -99], high: [startMs + 61_500, 99] } },
      ]);
      expect(windows('1min')[1]).toMatchObject({ count: 61, numbers: { high: [startMs + 61_500, 99] } });
      rollUpAll();
    }
    store.series.write([sample(61_700, 98)]);
    rollUpAll();
    expect(windows('1min')[1]).toMatchObject({ count: 62, last: [startMs + 119_000, 10] });
    expect(windows('1h')).toMatchObject([{ count: 3603 }]);
  });

  it('take in what goes on in a window whose samples were let go of as soon as they came', () => {
    store.series.write(Array.from({ length: 16 }, (_, index) => sample(index * 1000, index)));
    store.retention.dropSamplesBefore(startMs + 20_000, 500);
    expect(store.rollUps.oldestMs(speed, 'raw')).toBeNull();
    store.series.write([sample(16_000, 16), sample(17_000, 99), sample(21_000, 1)]);
    for (let round = 0; round < 2; round += 1) {
      expect(windows('10s').map(({ count }) => count)).toEqual([10, 8, 1]);
      expect(windows('1min')).toMatchObject([
        { count: 19, last: [startMs + 21_000, 1], numbers: { high: [startMs + 17_000, 99] } },
      ]);
      rollUpAll();
    }
  });

  it('mark a window again that goes on after it was rolled up', () => {
    store.series.write([sample(0, 1), sample(1000, 2)]);
    rollUpAll();
    store.series.write([sample(2000, 3)]);
    expect(store.rollUps.dueWithin(speed, ...everything, 10)).toBe(1);
    rollUpAll();
    reopen();
    for (const resolution of rolledResolutions) expect(windows(resolution)).toMatchObject([{ count: 3 }]);
  });

  it('keep of text how many and the last', () => {
    store.series.write([sample(0, 'film', 'grade'), sample(61_000, 'paper', 'grade')]);
    rollUpAll();
    reopen();
    expect(windows('1h', 'grade')).toEqual([
      { startMs, count: 2, last: [startMs + 61_000, 'paper'], numbers: null },
    ]);
  });

  it('are made of what a file of version 1 holds, once it has been brought up to date', () => {
    store.close();
    rmSync(join(directory, 'store.sqlite'));
    const old = new Database(join(directory, 'store.sqlite'));
    old.exec(readFileSync(new URL('fixtures/store-version-1.sql', import.meta.url), 'utf8'));
    old.close();
    store = openStore(join(directory, 'store.sqlite'));
    rollUpAll();
    expect(store.rollUps.windows(speed, '1h', 1_789_000_000_000, 1_791_000_000_000)).toEqual([
      {
        startMs,
        count: 2,
        last: [1_790_000_000_100, 10.75],
        numbers: { low: [1_790_000_000_000, 10.5], high: [1_790_000_000_100, 10.75], mean: 10.625 },
      },
    ]);
  });

  it('know nothing of a series or a range that is not there', () => {
    expect(windows('1h', 'none')).toEqual([]);
    expect(store.rollUps.oldestMs({ ...speed, field: 'none' }, 'raw')).toBeNull();
    store.series.write([sample(0, 1)]);
    expect(store.rollUps.windows(speed, '10s', startMs + hourMs, startMs)).toEqual([]);
  });
});

describe('the roll-ups that wait for a replica', () => {
  const waiting = (name = 'influx') =>
    store.rollUps.replica
      .waiting(name, 1000)
      .map(({ resolution, window }) => [resolution, (window.startMs - startMs) / 1000, window.count]);

  it('are noted only while there is a replica, and leave when all have them', () => {
    store.series.write([sample(0, 1)]);
    rollUpAll();
    expect(store.rollUps.replica.behind('influx')).toBe(0);
    store.rollUps.replica.addReplica('influx');
    store.rollUps.replica.addReplica('second');
    store.series.write([sample(10_000, 1)]);
    rollUpAll();
    expect(waiting()).toEqual([
      ['10s', 10, 1],
      ['1min', 0, 2],
      ['1h', 0, 2],
    ]);
    const last = store.rollUps.replica.waiting('influx', 1000).at(-1)!.seq;
    store.rollUps.replica.confirm('influx', last);
    expect([store.rollUps.replica.behind('influx'), store.rollUps.replica.behind('second')]).toEqual([0, 3]);
    store.rollUps.replica.removeReplica('second');
    reopen();
    expect([waiting('influx'), waiting('second')]).toEqual([[], []]);
  });

  it('come again when late data changed them, after what was confirmed already', () => {
    store.rollUps.replica.addReplica('influx');
    store.series.write([sample(0, 1)]);
    rollUpAll();
    store.rollUps.replica.confirm('influx', store.rollUps.replica.waiting('influx', 1000).at(-1)!.seq);
    store.series.write([sample(1_000, 5)]);
    rollUpAll();
    expect(waiting()).toEqual([
      ['10s', 0, 2],
      ['1min', 0, 2],
      ['1h', 0, 2],
    ]);
  });

  it('are bounded: what a replica lacked is recorded as a gap', () => {
    store.rollUps.replica.addReplica('influx');
    store.series.write(Array.from({ length: 60 }, (_, index) => sample(index * 10_000, index)));
    rollUpAll();
    expect(store.rollUps.replica.behind('influx')).toBe(60 + 10 + 1);
    expect(store.rollUps.replica.trim(1000, 100)).toBe(0);
    expect(store.rollUps.replica.trim(21, 30)).toBe(30);
    expect(store.rollUps.replica.trim(21, 30)).toBe(20);
    expect(store.rollUps.replica.trim(21, 30)).toBe(0);
    expect(store.rollUps.replica.behind('influx')).toBe(21);
    expect(store.gaps.query({ limit: 10, what: 'replica influx roll-ups' })).toMatchObject([
      { count: 50, because: { code: 'replica-too-far-behind' } },
    ]);
  });
});
