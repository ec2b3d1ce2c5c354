import { type SeriesPoint, type SeriesSample, thin } from '@edge-margin/series';
import type { Store } from '@edge-margin/store-sqlite';
import { reason } from '@edge-margin/units';
import { beforeEach, describe, expect, it } from 'vitest';
import { dayMs, hourMs, speed, startMs, storeUnderTest } from './fixtures/store-under-test.js';
import type { RemoteMemory } from './remote-memory.js';
import { createTrendReader } from './trend-reader.js';

// The remote store itself: tests/services/series-roll-ups.test.ts. Here: what becomes of its failures.

const underTest = storeUnderTest();
let store: Store;
beforeEach(() => {
  store = underTest.store();
});

/** A wave with one peak that a mean would hide. */
const wave = (count: number, stepMs: number): readonly SeriesPoint[] =>
  Array.from({ length: count }, (_, index): SeriesPoint => [
    startMs + index * stepMs,
    index === Math.floor(count / 3) ? 1000 : Math.sin(index / 40) * 10,
  ]);
const write = (points: readonly SeriesPoint[]): void =>
  store.series.write(points.map(([atMs, value]): SeriesSample => ({ ...speed, atMs, value })));
const rollUpAll = (): void => {
  while (!store.rollUps.rollUpDue(startMs + 1000 * dayMs, 500).done);
};
const over = (fromMs: number, toMs: number, maxPoints = 500) => ({ id: speed, fromMs, toMs, maxPoints });
const silent: RemoteMemory = {
  points: () => Promise.resolve({ ok: false, because: reason('long-memory-silent', 'none within 3000 ms') }),
  windows: () => Promise.resolve({ ok: false, because: reason('long-memory-silent', 'none within 3000 ms') }),
};

describe('a trend', () => {
  it('is given point by point where the points are few', async () => {
    const points = wave(400, 60_000);
    write(points);
    rollUpAll();
    const trend = await createTrendReader(store, undefined)(over(startMs, startMs + dayMs));
    expect(trend).toEqual({
      points,
      thinned: false,
      resolution: 'raw',
      source: 'local',
      intervalMs: null,
      band: [],
      partial: null,
    });
  });

  it('is thinned from the points where the range is short', async () => {
    const points = wave(2000, 100);
    write(points);
    const trend = await createTrendReader(store, undefined)(over(startMs, startMs + 200_000, 100));
    expect([trend.points, trend.resolution]).toEqual([thin(points, 100).points, 'raw']);
  });

  it.each([
    ['rolled up', true],
    ['not rolled up yet', false],
  ])('is made of windows where the range is long, and loses no peak: %s', async (_name, settled) => {
    const points = wave(21_600, 1000);
    write(points);
    if (settled) rollUpAll();
    else
      while (store.rollUps.dueWithin(speed, startMs, startMs + dayMs, 1000) > 400)
        store.rollUps.rollUpDue(startMs + dayMs, 50);
    const trend = await createTrendReader(store, undefined)(over(startMs, startMs + 6 * hourMs));
    expect(trend).toMatchObject({ resolution: '10s', source: 'local', thinned: true, partial: null });
    expect(trend.points.length).toBeLessThanOrEqual(500);
    expect(trend.points.filter(([, value]) => value === 1000)).toEqual([points[7200]]);
    const measured = new Map(points);
    expect(trend.points.every(([atMs, value]) => measured.get(atMs) === value)).toBe(true);
    expect(trend.points.at(-1)).toEqual(points.at(-1));
    expect(Math.max(...trend.band.map(({ high }) => high))).toBe(1000);
  });

  it('is thinned from the points where too many windows wait to be rolled up', async () => {
    const points = wave(21_600, 1000);
    write(points);
    const trend = await createTrendReader(store, undefined)(over(startMs, startMs + 6 * hourMs));
    expect([trend.points, trend.resolution]).toEqual([thin(points, 500).points, 'raw']);
  });

  it('is coarser, and says so, where the points are no longer kept', async () => {
    write(wave(7200, 1000));
    while (!store.retention.dropSamplesBefore(startMs + 1.5 * hourMs, 1000).done);
    const read = createTrendReader(store, undefined);
    const short = await read(over(startMs, startMs + 600_000, 500));
    expect(short).toMatchObject({
      resolution: '10s',
      source: 'local',
      partial: { code: 'coarser-than-asked' },
    });
    expect(short.points.length).toBeGreaterThan(100);
    expect((await read(over(startMs + 1.6 * hourMs, startMs + 1.7 * hourMs, 500))).partial).toBeNull();
    while (!store.rollUps.dropBefore('10s', startMs + 1.5 * hourMs, 1000).done);
    while (!store.rollUps.dropBefore('1min', startMs + hourMs, 1000).done);
    expect(await read(over(startMs, startMs + 600_000, 500))).toMatchObject({
      resolution: '1h',
      partial: { code: 'coarser-than-asked', params: { resolution: '1h' } },
    });
  });

  it('is partial, with the reason, where the long memory does not answer, and what is here is shown', async () => {
    write(wave(7200, 1000));
    while (!store.retention.dropSamplesBefore(startMs + 1.5 * hourMs, 1000).done);
    const read = createTrendReader(store, silent);
    expect(await read(over(startMs + hourMs, startMs + hourMs + 600_000))).toMatchObject({
      resolution: '10s',
      source: 'local',
      partial: { code: 'long-memory-silent', text: 'none within 3000 ms' },
    });
    expect(await read(over(startMs - 30 * dayMs, startMs + dayMs))).toMatchObject({
      source: 'local',
      partial: { code: 'long-memory-silent' },
    });
  });

  it('does not ask the long memory for what is here', async () => {
    write(wave(7200, 1000));
    rollUpAll();
    const read = createTrendReader(store, silent);
    expect((await read(over(startMs, startMs + 2 * hourMs))).partial).toBeNull();
    expect((await read(over(startMs + hourMs, startMs + hourMs + 60_000))).partial).toBeNull();
  });

  it('of what is nowhere is empty and whole', async () => {
    const read = createTrendReader(store, undefined);
    expect(await read(over(startMs, startMs + dayMs))).toMatchObject({
      points: [],
      source: 'none',
      partial: null,
    });
    expect(await read(over(startMs, startMs))).toMatchObject({ points: [], source: 'none', partial: null });
  });
});
