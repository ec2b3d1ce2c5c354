import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { reason } from '@edge-margin/units';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openStore } from './open-store.js';
import type { Store } from './store.js';

let directory = '';
let store: Store;
beforeEach(() => {
  directory = mkdtempSync(join(tmpdir(), 'edge-margin-gaps-'));
  store = openStore(join(directory, 'store.sqlite'));
});
afterEach(() => {
  store.close();
  rmSync(directory, { recursive: true, force: true });
});

const gap = (id: string, fromMs: number, toMs: number) => ({
  id,
  what: 'messages',
  fromMs,
  toMs,
  count: null,
  because: reason('session-lost', 'the broker had not kept our session'),
});

describe('gaps', () => {
  it('whose times lie between milliseconds are kept, and reach at least as far: a batch is never refused for one', () => {
    expect(store.commitBatch({ position: 1, gaps: [gap('1', 10.4, 20.6)] })).toEqual({ applied: true });
    store.gaps.extend(gap('2', 100_000.2, 100_001.9));
    store.gaps.extend(gap('3', 100_500.5, 100_900.5));
    const kept = store.gaps.query({ limit: 10 }).map(({ fromMs, toMs }) => [fromMs, toMs]);
    expect(kept).toEqual([
      [100_000, 100_901],
      [10, 21],
    ]);
  });
});
