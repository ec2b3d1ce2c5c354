import { describe, expect, it } from 'vitest';
import { createMemorySeriesStore } from './memory-series-store.js';
import { seriesStoreContract } from './series-store-contract.js';

seriesStoreContract({ describe, it, expect }, () => ({
  store: createMemorySeriesStore(),
  close: () => undefined,
}));

describe('the contract itself', () => {
  /** Runs the contract against a store with one fault and lists the tests that noticed. */
  async function noticed(
    spoil: (store: ReturnType<typeof createMemorySeriesStore>) => ReturnType<typeof createMemorySeriesStore>,
  ): Promise<readonly string[]> {
    const tests: { name: string; body: () => Promise<void> }[] = [];
    seriesStoreContract(
      { describe: (_name, body) => body(), it: (name, body) => tests.push({ name, body }), expect },
      () => ({ store: spoil(createMemorySeriesStore()), close: () => undefined }),
    );
    const failed: string[] = [];
    for (const { name, body } of tests) await body().catch(() => failed.push(name));
    return failed;
  }

  it('passes a store without a fault', async () => {
    expect(await noticed((store) => store)).toEqual([]);
  });

  it('notices a store that includes the end of the range', async () => {
    const failed = await noticed((store) => ({
      ...store,
      query: (query) => store.query({ ...query, toMs: query.toMs + 1 }),
    }));
    expect(failed).toContain('includes the start of the range and leaves out its end');
  });

  it('notices a store that keeps the first value', async () => {
    const failed = await noticed((store) => ({
      ...store,
      write: (samples) => store.write([...samples].reverse()),
    }));
    expect(failed).toContain('lets the last one win within one write');
  });

  it('notices a store that forgets the end of the nip', async () => {
    const failed = await noticed((store) => ({
      ...store,
      write: (samples) => store.write(samples.map((sample) => ({ ...sample, end: 'both' }))),
      query: (query) => store.query({ ...query, id: { ...query.id, end: 'both' } }),
    }));
    expect(failed).toContain('keeps measurements, winders, stations, ends and fields apart');
  });

  it('notices a store that thins by leaving out every other point', async () => {
    const failed = await noticed((store) => ({
      ...store,
      query: async (query) => {
        const { points } = await store.query({ ...query, maxPoints: 1_000_000 });
        const stride = Math.ceil(points.length / query.maxPoints);
        return { points: points.filter((_, index) => index % stride === 0), thinned: stride > 1 };
      },
    }));
    expect(failed).toContain('thins numbers to the points that keep the shape, extremes among them');
  });

  it('notices a store that turns text that looks like a number into one', async () => {
    const numeric = (value: number | string): number | string =>
      value !== '' && Number.isFinite(Number(value)) ? Number(value) : value;
    const failed = await noticed((store) => ({
      ...store,
      write: (samples) => store.write(samples.map((sample) => ({ ...sample, value: numeric(sample.value) }))),
    }));
    expect(failed).toEqual(['keeps text as text, whatever it looks like']);
  });
});
