import { rmSync } from 'node:fs';
import type { Journal, Segment } from '@edge-margin/journal';
import type { SeriesSample } from '@edge-margin/series';
import type { Store } from '@edge-margin/store-sqlite';
import { join } from 'node:path';
import { type Logger, pino } from 'pino';
import { beforeEach, describe, expect, it } from 'vitest';
import { dayMs, hourMs, speed, startMs, storeUnderTest } from './fixtures/store-under-test.js';
import { keepingSettings, keepingVariables } from '../settings/keeping-settings.js';
import { keepHouse, oldJournalUpTo } from './housekeeping.js';
import { watchKnownTime } from './watch-known-time.js';

const keeping = keepingSettings(keepingVariables.parse({}));

const underTest = storeUnderTest();
let store: Store;
beforeEach(() => {
  store = underTest.store();
});

/** A service whose clocks are moved by hand. */
function service(given: { readonly nowMs: number; readonly lastArrivalMs?: number }) {
  const told: string[] = [];
  const log: Logger = pino({ level: 'info' }, { write: (line: string) => void told.push(line) });
  const clocks = { trueMs: given.nowMs, offMs: 0 };
  const startedMs = clocks.trueMs;
  const wallMs = (): number => clocks.trueMs + clocks.offMs;
  const known = watchKnownTime({
    path: join(underTest.directory(), 'known-time.json'),
    lastArrivalMs: given.lastArrivalMs ?? null,
    wallMs,
    steadyMs: () => clocks.trueMs - startedMs,
    log,
  });
  const journal = { segments: () => [], disposeBefore: () => Promise.resolve(0) } as unknown as Journal;
  return {
    clocks,
    told,
    known,
    /** Runs on for so long, a sample every half-hour at the wall clock's time, housekeeping with each. */
    run: async (forMs: number): Promise<void> => {
      for (let ms = 0; ms < forMs; ms += hourMs / 2) {
        clocks.trueMs += hourMs / 2;
        store.series.write([{ ...speed, atMs: wallMs(), value: 1 } satisfies SeriesSample]);
        await keepHouse({ store, journal, keeping, now: known.now(), log });
      }
    },
  };
}
const samplesWithin = (fromMs: number, toMs: number): number =>
  store.series.query({ id: speed, fromMs, toMs, maxPoints: 10_000 }).points.length;

describe('letting go of what is old', () => {
  it('keeps two days of samples where the clock runs', async () => {
    const { run } = service({ nowMs: startMs });
    await run(3 * dayMs);
    expect(samplesWithin(startMs, startMs + dayMs - hourMs)).toBe(0);
    expect(samplesWithin(startMs + dayMs, startMs + 3 * dayMs + 1)).toBe(2 * 48 + 1);
  });

  it('lets go of nothing that is young when the clock jumps ahead, through restarts, and says so once for each', async () => {
    const first = service({ nowMs: startMs });
    await first.run(dayMs);
    first.clocks.offMs = 400 * dayMs;
    await first.run(8 * hourMs);
    // Somebody starts the service again in the hope that it helps.
    const second = service({ nowMs: first.clocks.trueMs, lastArrivalMs: startMs + 400 * dayMs });
    second.clocks.offMs = 400 * dayMs;
    await second.run(8 * hourMs);
    expect(samplesWithin(startMs, startMs + dayMs + 1)).toBe(48);
    for (const { told } of [first, second])
      expect(told.filter((line) => line.includes('"clock-ahead"'))).toHaveLength(1);
    expect(second.known.heldBack()?.code).toBe('clock-ahead');
    second.clocks.offMs = 0;
    await second.run(hourMs);
    expect(samplesWithin(startMs, startMs + dayMs + 1)).toBe(48);
    expect(second.known.heldBack()).toBeNull();
    expect(second.told.at(-1)).toContain('by this machine’s clock again');
  });

  it('goes on as before after a month without power: what lies before it goes within a day, and what comes stays two', async () => {
    await service({ nowMs: startMs }).run(2 * dayMs);
    const again = service({ nowMs: startMs + 32 * dayMs });
    let most = 0;
    for (let day = 0; day < 4; day += 0.25) {
      await again.run(dayMs / 4);
      most = Math.max(most, samplesWithin(0, startMs + 100 * dayMs));
    }
    expect(samplesWithin(0, startMs + 31 * dayMs)).toBe(0);
    expect(samplesWithin(startMs + 34 * dayMs, startMs + 36 * dayMs + 1)).toBe(2 * 48 + 1);
    // Never more on the disk than two days of running make, and the windows at the edges.
    expect(most).toBeLessThanOrEqual(2 * 48 + 3);
  });

  it('starts from the last arrival where no known time is written down yet, and from the clock in an empty folder', () => {
    expect(service({ nowMs: startMs }).known.now()).toBe(startMs);
    rmSync(join(underTest.directory(), 'known-time.json'));
    const updated = service({ nowMs: startMs + 90 * dayMs, lastArrivalMs: startMs });
    expect(updated.known.now()).toBe(startMs);
  });
});

describe('segments of the journal', () => {
  const segment = (last: number, firstArrivedAtMs: number, lastArrivedAtMs: number): Segment => ({
    file: '',
    first: last - 9,
    last,
    bytes: 1,
    firstArrivedAtMs,
    lastArrivedAtMs,
  });

  it('are old by their last arrival', () => {
    const all = [segment(10, 0, 10), segment(20, 10, 20), segment(30, 20, 30)];
    expect(oldJournalUpTo(all, 5, 30)).toBe(0);
    expect(oldJournalUpTo(all, 15, 30)).toBe(10);
    expect(oldJournalUpTo(all, 25, 30)).toBe(20);
  });

  it('with arrivals ahead of the time are as old as what came after them, so that they hold nothing up for a year', () => {
    const all = [segment(10, 0, 10), segment(20, 10, 9000), segment(30, 9000, 9010), segment(40, 20, 30)];
    expect(oldJournalUpTo(all, 15, 40)).toBe(10);
    expect(oldJournalUpTo(all, 25, 40)).toBe(30);
  });

  it('are not old while only what is ahead of the time has come after them', () => {
    expect(oldJournalUpTo([segment(10, 0, 10), segment(20, 10, 9000)], 5, 40)).toBe(0);
    expect(oldJournalUpTo([segment(10, 0, 10), segment(20, 10, 9000)], 15, 40)).toBe(10);
  });
});
