import type { NewJournalRow } from '@edge-margin/telemetry';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { startTicks } from './ticks.js';

beforeEach(() => vi.useFakeTimers({ now: 1_764_000_000_000 }));
afterEach(() => vi.useRealTimers());

describe('ticks', () => {
  it('put the time into the journal once a second, but not while the past flows in', () => {
    const rows: NewJournalRow[] = [];
    let isCatchingUp = false;
    const journal = { append: (row: NewJournalRow) => rows.push(row) };
    const stop = startTicks({ journal, now: Date.now, isCatchingUp: () => isCatchingUp });
    vi.advanceTimersByTime(2500);
    isCatchingUp = true;
    vi.advanceTimersByTime(10_000);
    isCatchingUp = false;
    vi.advanceTimersByTime(1000);
    stop();
    vi.advanceTimersByTime(5000);
    expect(rows.map(({ kind, arrivedAtMs }) => [kind, arrivedAtMs - 1_764_000_000_000])).toEqual([
      ['tick', 1000],
      ['tick', 2000],
      ['tick', 13_000],
    ]);
  });
});
