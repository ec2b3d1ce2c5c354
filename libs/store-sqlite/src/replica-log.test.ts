import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { reason } from '@edge-margin/units';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openStore } from './open-store.js';
import type { Store } from './store.js';

let directory = '';
let store: Store;
const reopen = (): void => {
  store.close();
  store = openStore(join(directory, 'store.sqlite'));
};
beforeEach(() => {
  directory = mkdtempSync(join(tmpdir(), 'edge-margin-store-'));
  store = openStore(join(directory, 'store.sqlite'));
});
afterEach(() => {
  store.close();
  rmSync(directory, { recursive: true, force: true });
});

const startMs = 1_790_000_000_000;
const sample = (offsetMs: number, value: number | string, field = 'speed') =>
  ({
    measurement: 'reading',
    winderId: 'w1',
    stationId: 'a',
    end: 'both',
    field,
    atMs: startMs + offsetMs,
    value,
  }) as const;
const write = (from: number, to: number): void =>
  store.series.write(Array.from({ length: to - from }, (_, index) => sample(from + index, from + index)));
const valuesAfter = (seq: number, limit = 100) =>
  store.replica.samplesAfter(seq, limit).map((row) => row.sample.value);

describe('the replica log', () => {
  it('keeps nothing while there is no replica', () => {
    write(0, 10);
    expect(valuesAfter(0)).toEqual([]);
    expect(store.replica.behind('influx')).toBe(0);
  });

  it('gives rows in the order in which they were written, a rewritten sample again', () => {
    store.replica.addReplica('influx');
    store.series.write([sample(300, 3), sample(100, 1), sample(0, '1200', 'grade')]);
    store.series.write([sample(300, 4)]);
    expect(store.replica.samplesAfter(0, 100)).toMatchObject([
      { seq: 1, sample: sample(300, 3) },
      { seq: 2, sample: sample(100, 1) },
      { seq: 3, sample: sample(0, '1200', 'grade') },
      { seq: 4, sample: sample(300, 4) },
    ]);
    expect(store.replica.samplesAfter(1, 2).map(({ seq }) => seq)).toEqual([2, 3]);
    expect(store.replica.behind('influx')).toBe(4);
  });

  it('lets go of what every replica has, and gives no number twice, restarts included', () => {
    store.replica.addReplica('influx');
    store.replica.addReplica('other');
    write(0, 10);
    store.replica.writeCursor('influx', 10);
    expect(valuesAfter(0)).toHaveLength(10);
    store.replica.writeCursor('other', 4);
    expect(valuesAfter(0)).toEqual([4, 5, 6, 7, 8, 9]);
    store.replica.writeCursor('other', 10);
    expect(valuesAfter(0)).toEqual([]);
    reopen();
    write(10, 12);
    expect(store.replica.samplesAfter(10, 10).map(({ seq }) => seq)).toEqual([11, 12]);
    expect([store.replica.behind('influx'), store.replica.behind('other')]).toEqual([2, 2]);
  });

  it('begins a new replica at the present, and keeps the cursor of a known one', () => {
    store.replica.addReplica('influx');
    write(0, 5);
    store.replica.addReplica('late');
    expect([store.replica.readCursor('influx'), store.replica.readCursor('late')]).toEqual([0, 5]);
    store.replica.writeCursor('influx', 3);
    store.replica.addReplica('influx');
    expect(store.replica.readCursor('influx')).toBe(3);
  });

  it('never moves a cursor back', () => {
    store.replica.addReplica('influx');
    write(0, 5);
    store.replica.writeCursor('influx', 4);
    store.replica.writeCursor('influx', 2);
    expect(store.replica.readCursor('influx')).toBe(4);
  });

  it('forgets a replica with the rows kept for it', () => {
    store.replica.addReplica('influx');
    write(0, 5);
    store.replica.removeReplica('influx');
    write(5, 10);
    expect(valuesAfter(0)).toEqual([]);
  });

  it('drops rows beyond the limits, passes the replica over them and records the gap', () => {
    store.replica.addReplica('influx');
    store.replica.addReplica('quick');
    write(0, 100);
    store.replica.writeCursor('influx', 10);
    store.replica.writeCursor('quick', 95);
    expect(store.replica.trim({ maxRows: 30, beforeMs: 0 }, 1000)).toBe(60);
    expect(valuesAfter(0)[0]).toBe(70);
    expect([store.replica.readCursor('influx'), store.replica.readCursor('quick')]).toEqual([70, 95]);
    expect(store.replica.behind('influx')).toBe(30);
    expect(store.gaps.query({ limit: 10 })).toMatchObject([
      {
        what: 'replica influx',
        fromMs: startMs + 10,
        toMs: startMs + 69,
        count: 60,
        because: { code: 'replica-too-far-behind' },
      },
    ]);
    expect(store.replica.trim({ maxRows: 30, beforeMs: 0 }, 1000)).toBe(0);
  });

  it('drops by age too, a bounded piece at a time, as one gap', () => {
    store.replica.addReplica('influx');
    write(0, 100);
    expect(store.replica.trim({ maxRows: 1000, beforeMs: startMs + 50 }, 20)).toBe(20);
    expect(store.replica.trim({ maxRows: 1000, beforeMs: startMs + 50 }, 20)).toBe(20);
    expect(store.replica.trim({ maxRows: 1000, beforeMs: startMs + 50 }, 20)).toBe(10);
    expect(store.replica.trim({ maxRows: 1000, beforeMs: startMs + 50 }, 20)).toBe(0);
    expect(store.gaps.query({ limit: 10 })).toMatchObject([
      { fromMs: startMs, toMs: startMs + 49, count: 50 },
    ]);
    expect(valuesAfter(store.replica.readCursor('influx'))[0]).toBe(50);
  });

  it('keeps what was refused, the newest thousand of each replica', () => {
    store.replica.addReplica('influx');
    const refused = Array.from({ length: 1500 }, (_, index) => ({
      seq: index + 1,
      sample: sample(index, index),
      because: reason('replica-refused', 'field type conflict'),
    }));
    store.replica.writeCursor('influx', 0, refused.slice(0, 700));
    store.replica.writeCursor('influx', 0, refused.slice(700));
    const kept = store.replica.refused('influx', 5000);
    expect(kept).toHaveLength(1000);
    expect(kept[0]).toEqual(refused[1499]);
    expect(store.replica.refused('other', 10)).toEqual([]);
  });

  it('takes nothing from a batch that failed', () => {
    store.replica.addReplica('influx');
    write(0, 2);
    expect(() => store.series.write([sample(5, 5), sample(6, NaN)])).toThrow(RangeError);
    write(7, 8);
    expect(store.replica.samplesAfter(0, 10).map(({ seq, sample: { value } }) => [seq, value])).toEqual([
      [1, 0],
      [2, 1],
      [3, 7],
    ]);
  });
});

describe('retention', () => {
  const idOf = (field: string) => ({ ...sample(0, 0, field) });
  const count = (field: string) =>
    store.series.query({ id: idOf(field), fromMs: 0, toMs: 9e15, maxPoints: 1_000_000 }).points.length;
  const fill = (field: string, rows: number, stepMs = 100): void =>
    store.series.write(
      Array.from({ length: rows }, (_, index) => ({ ...sample(index * stepMs, index, field) })),
    );

  it('drops what is older than asked, in every series, a bounded piece at a time', () => {
    fill('speed', 1000);
    fill('tension', 1000);
    const calls = [];
    for (let call = 0; call < 10; call += 1)
      calls.push(store.retention.dropSamplesBefore(startMs + 50_000, 300));
    expect(calls.slice(0, 5)).toEqual([
      { rows: 300, done: false },
      { rows: 300, done: false },
      { rows: 300, done: false },
      { rows: 100, done: true },
      { rows: 0, done: true },
    ]);
    expect([count('speed'), count('tension')]).toEqual([500, 500]);
    expect(store.gaps.query({ limit: 10 })).toEqual([]);
  });

  it('drops the oldest of all series beyond the size asked, says so as a gap, and gives space back', () => {
    fill('speed', 40_000);
    fill('tension', 40_000);
    const before = store.retention.usedBytes();
    expect(store.retention.dropSamplesBeyond(before, 10_000)).toEqual({ rows: 0, done: true });
    let calls = 0;
    while (!store.retention.dropSamplesBeyond(before / 2, 10_000).done) calls += 1;
    expect(calls).toBeGreaterThan(5);
    expect(store.retention.usedBytes()).toBeLessThanOrEqual(before / 2);
    expect(store.retention.usedBytes()).toBeGreaterThan(before / 3);
    expect(Math.abs(count('speed') - count('tension'))).toBeLessThan(1000);
    expect(store.series.latest(idOf('speed'))).toEqual([startMs + 39_999 * 100, 39_999]);
    const gaps = store.gaps.query({ limit: 10 });
    expect(gaps).toMatchObject([
      { what: 'series', fromMs: startMs, count: 80_000 - count('speed') - count('tension') },
    ]);
    expect(store.retention.releaseSpace(50)).toBe(50);
    while (store.retention.releaseSpace(1000) > 0);
    expect(store.retention.usedBytes()).toBeLessThanOrEqual(before / 2);
  });

  it('has nothing to drop in an empty store', () => {
    expect(store.retention.dropSamplesBefore(9e15, 100)).toEqual({ rows: 0, done: true });
    expect(store.retention.dropSamplesBeyond(0, 100)).toEqual({ rows: 0, done: true });
    expect(store.retention.releaseSpace(100)).toBe(0);
  });
});
