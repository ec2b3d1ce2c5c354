import type { Awaitable, SeriesId, SeriesPoint, SeriesSample, SeriesStore } from './series-store.js';
import { thin } from './thin.js';

/** What the contract needs of a test runner. */
export interface TestTools {
  readonly describe: (name: string, body: () => void) => unknown;
  readonly it: (name: string, body: () => Promise<void>) => unknown;
  readonly expect: (
    actual: unknown,
    message?: string,
  ) => { readonly toEqual: (expected: unknown) => unknown };
}

/** A fresh, empty store, and how it is put away. */
export interface StoreUnderTest {
  readonly store: SeriesStore;
  readonly close: () => Awaitable<void>;
}

/** The behaviour that every series store shares, as tests: call it once per store. `makeStore` makes an empty one for each test. */
export function seriesStoreContract(tools: TestTools, makeStore: () => Awaitable<StoreUnderTest>): void {
  const { describe, it, expect } = tools;
  const on = (name: string, body: (store: SeriesStore) => Promise<void>): unknown =>
    it(name, async () => {
      const { store, close } = await makeStore();
      try {
        await body(store);
      } finally {
        await close();
      }
    });
  const pointsOf = async (store: SeriesStore, id: SeriesId = speed): Promise<readonly SeriesPoint[]> =>
    (await store.query({ id, fromMs: startMs - dayMs, toMs: startMs + dayMs, maxPoints: 10_000 })).points;

  describe('a series store', () => {
    on('gives back what was written, in order of time', async (store) => {
      await store.write([at(300, 3), at(100, 1), at(200, 2)]);
      await store.write([at(50, 0.5)]);
      expect(await pointsOf(store)).toEqual(series([50, 0.5], [100, 1], [200, 2], [300, 3]));
    });

    on('replaces the value where the same series and time is written again', async (store) => {
      await store.write([at(100, 1), at(200, 2)]);
      await store.write([at(100, 7)]);
      await store.write([at(200, 2)]);
      expect(await pointsOf(store)).toEqual(series([100, 7], [200, 2]));
    });

    on('lets the last one win within one write', async (store) => {
      await store.write([at(100, 1), at(100, 2), at(100, 3)]);
      expect(await pointsOf(store)).toEqual(series([100, 3]));
    });

    on('includes the start of the range and leaves out its end', async (store) => {
      await store.write([at(99, 1), at(100, 2), at(199, 3), at(200, 4)]);
      const found = await store.query({
        id: speed,
        fromMs: startMs + 100,
        toMs: startMs + 200,
        maxPoints: 100,
      });
      expect(found).toEqual({ points: series([100, 2], [199, 3]), thinned: false });
    });

    on(
      'knows nothing of an unknown series, an empty range or a range that ends before it starts',
      async (store) => {
        const none = { points: [], thinned: false };
        expect(await store.query({ id: speed, fromMs: 0, toMs: 1, maxPoints: 100 })).toEqual(none);
        await store.write([at(100, 1)]);
        expect(
          await store.query({
            id: { ...speed, field: 'other' },
            fromMs: startMs,
            toMs: startMs + dayMs,
            maxPoints: 100,
          }),
        ).toEqual(none);
        expect(
          await store.query({ id: speed, fromMs: startMs + 101, toMs: startMs + 200, maxPoints: 100 }),
        ).toEqual(none);
        expect(
          await store.query({ id: speed, fromMs: startMs + 100, toMs: startMs + 100, maxPoints: 100 }),
        ).toEqual(none);
        expect(
          await store.query({ id: speed, fromMs: startMs + 200, toMs: startMs, maxPoints: 100 }),
        ).toEqual(none);
      },
    );

    on('accepts an empty write', async (store) => {
      await store.write([]);
      expect(await pointsOf(store)).toEqual([]);
    });

    on('keeps measurements, winders, stations, ends and fields apart', async (store) => {
      const ids: readonly SeriesId[] = [
        speed,
        { ...speed, measurement: 'assessment' },
        { ...speed, winderId: 'w', stationId: '1a' },
        { ...speed, winderId: 'w1a', stationId: 'b' },
        { ...speed, stationId: 'b' },
        { ...speed, end: 'tending' },
        { ...speed, end: 'drive' },
        { ...speed, field: 'speeds' },
        { ...speed, field: 'Speed' },
      ];
      await store.write(ids.map((id, index) => ({ ...id, atMs: startMs, value: index })));
      for (const [index, id] of ids.entries()) expect(await pointsOf(store, id)).toEqual(series([0, index]));
    });

    on('merges fields of one instant that are written apart', async (store) => {
      const drive: SeriesId = { ...speed, field: 'tension' };
      await store.write([at(100, 1)]);
      await store.write([{ ...drive, atMs: startMs + 100, value: 2 }]);
      expect(await pointsOf(store)).toEqual(series([100, 1]));
      expect(await pointsOf(store, drive)).toEqual(series([100, 2]));
    });

    on('keeps text as text, whatever it looks like', async (store) => {
      const grade: SeriesId = { ...speed, field: 'grade' };
      const texts = [
        '1200',
        '',
        ' a b ',
        'x,y=z',
        '"quoted" \\ back\\slash',
        'line\nbreak',
        'true',
        'NaN',
        '12i',
        'Größe µm 紙 🧻',
        "o'clock -- ;",
      ];
      await store.write(texts.map((value, index) => ({ ...grade, atMs: startMs + index, value })));
      expect(await pointsOf(store, grade)).toEqual(texts.map((value, index) => [startMs + index, value]));
    });

    on('keeps negative, tiny and huge numbers exactly', async (store) => {
      const numbers = [
        0,
        -1,
        -273.15,
        0.1 + 0.2,
        1e-300,
        -5e-324,
        1.7976931348623157e308,
        -1e21,
        2 ** 53,
        123456789.12345679,
      ];
      await store.write(numbers.map((value, index) => at(index, value)));
      expect(await pointsOf(store)).toEqual(numbers.map((value, index) => [startMs + index, value]));
    });

    on('tells ids apart by every character', async (store) => {
      const words = [
        'a b',
        'a,b',
        'a=b',
        'a"b',
        "a'b",
        'a\\b',
        'a.b',
        'a/b',
        'a$b',
        '$w',
        'a%',
        'A b',
        'Größe',
        '紙',
        '🧻',
        "x' OR 'x' = 'x",
      ];
      const ids = words.flatMap((word): readonly SeriesId[] => [
        { ...speed, winderId: word },
        { ...speed, stationId: word },
        { ...speed, field: word },
      ]);
      await store.write(ids.map((id, index) => ({ ...id, atMs: startMs, value: index })));
      for (const [index, id] of ids.entries())
        expect(await pointsOf(store, id), JSON.stringify(id)).toEqual(series([0, index]));
    });

    on('holds many series at once', async (store) => {
      const ids = Array.from({ length: 500 }, (_, index): SeriesId => ({
        ...speed,
        winderId: `w${index % 20}`,
        stationId: `s${index}`,
      }));
      await store.write(
        ids.flatMap((id, index) =>
          [0, 1, 2].map((step) => ({ ...id, atMs: startMs + step, value: index + step / 10 })),
        ),
      );
      for (const index of [0, 1, 19, 20, 250, 499]) {
        expect(await pointsOf(store, ids[index])).toEqual(
          series([0, index], [1, index + 0.1], [2, index + 0.2]),
        );
      }
    });

    on('thins numbers to the points that keep the shape, extremes among them', async (store) => {
      const points = wave(20_000);
      await writeAll(store, points);
      const found = await store.query({ id: speed, fromMs: startMs, toMs: startMs + dayMs, maxPoints: 200 });
      expect(found.thinned).toEqual(true);
      expect(found.points.length <= 200).toEqual(true);
      for (const extreme of [1000, -1000])
        expect(found.points.filter(([, value]) => value === extreme).length).toEqual(1);
      expect([found.points[0], found.points.at(-1)]).toEqual([points[0], points.at(-1)]);
      expect(found).toEqual(thin(points, 200));
    });

    on('thins a part of the range as it thins the whole', async (store) => {
      const points = wave(5000);
      await writeAll(store, points);
      const [fromMs, toMs] = [startMs + 33_333, startMs + 444_444];
      const part = points.filter(([atMs]) => atMs >= fromMs && atMs < toMs);
      for (const maxPoints of [6, 7, 50, 1001, part.length - 1, part.length, part.length + 1]) {
        const found = await store.query({ id: speed, fromMs, toMs, maxPoints });
        expect(found, `maxPoints ${maxPoints}`).toEqual(thin(part, maxPoints));
      }
    });

    on('thins across gaps and over level stretches, keeping the earliest of equals', async (store) => {
      const points = [
        ...wave(300),
        ...wave(300, 40_000_000).map(([atMs]): SeriesPoint => [atMs, 5]),
        ...wave(300, 70_000_000),
      ];
      await writeAll(store, points);
      const found = await store.query({ id: speed, fromMs: startMs, toMs: startMs + dayMs, maxPoints: 100 });
      expect(found).toEqual(thin(points, 100));
    });

    on('thins text to its changes', async (store) => {
      const grade: SeriesId = { ...speed, field: 'grade' };
      const points = wave(1000).map(([atMs], index): SeriesPoint => [
        atMs,
        index < 400 ? 'a' : index < 401 ? 'b' : 'c',
      ]);
      await writeAll(store, points, grade);
      const found = await store.query({ id: grade, fromMs: startMs, toMs: startMs + dayMs, maxPoints: 50 });
      expect(found).toEqual({ points: [0, 400, 401, 999].map((index) => points[index]), thinned: true });
    });

    on('gives the latest point by event time, whatever came last', async (store) => {
      expect(await store.latest(speed)).toEqual(null);
      await store.write([at(300, 3), at(200, 2)]);
      expect(await store.latest(speed)).toEqual([startMs + 300, 3]);
      expect(await store.latest({ ...speed, end: 'drive' })).toEqual(null);
    });

    on('refuses what cannot be kept or asked, and stays as it was', async (store) => {
      await store.write([at(100, 1)]);
      for (const value of [NaN, Infinity, -Infinity])
        expect(await failure(() => store.write([at(200, 2), at(300, value)]))).toEqual('RangeError');
      for (const atMs of [0.5, NaN, 2 ** 53])
        expect(await failure(() => store.write([{ ...at(0, 1), atMs }]))).toEqual('RangeError');
      const query = { id: speed, fromMs: startMs, toMs: startMs + 1000, maxPoints: 100 };
      for (const wrong of [{ maxPoints: 5 }, { maxPoints: 10.5 }, { fromMs: 0.5 }, { toMs: Infinity }]) {
        expect(await failure(() => store.query({ ...query, ...wrong }))).toEqual('RangeError');
      }
      expect(await pointsOf(store)).toEqual(series([100, 1]));
    });
  });
}

const startMs = 1_790_000_000_000;
const dayMs = 86_400_000;
const speed: SeriesId = {
  measurement: 'reading',
  winderId: 'w1',
  stationId: 'a',
  end: 'both',
  field: 'speed',
};
const at = (offsetMs: number, value: number): SeriesSample => ({ ...speed, atMs: startMs + offsetMs, value });
const series = (...points: readonly SeriesPoint[]): readonly SeriesPoint[] =>
  points.map(([offsetMs, value]) => [startMs + offsetMs, value]);

/** A wave every 100 ms with one peak each way that a mean would hide. */
function wave(count: number, offsetMs = 0): readonly SeriesPoint[] {
  return Array.from({ length: count }, (_, index): SeriesPoint => {
    const value =
      index === Math.floor(count / 3)
        ? 1000
        : index === Math.floor(count / 2)
          ? -1000
          : Math.sin(index / 50) * 10;
    return [startMs + offsetMs + index * 100, value];
  });
}

async function writeAll(
  store: SeriesStore,
  points: readonly SeriesPoint[],
  id: SeriesId = speed,
): Promise<void> {
  await store.write(points.map(([atMs, value]) => ({ ...id, atMs, value })));
}

async function failure(attempt: () => Awaitable<unknown>): Promise<string> {
  try {
    await attempt();
    return 'none';
  } catch (error) {
    return error instanceof RangeError ? 'RangeError' : String(error);
  }
}
