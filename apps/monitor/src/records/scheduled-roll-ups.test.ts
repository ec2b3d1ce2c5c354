import { join } from 'node:path';
import { openJournal } from '@edge-margin/journal';
import type { Store } from '@edge-margin/store-sqlite';
import { pino } from 'pino';
import { beforeEach, describe, expect, it } from 'vitest';
import { hourMs, speed, startMs, storeUnderTest } from './fixtures/store-under-test.js';
import { keepingSettings, keepingVariables } from '../settings/keeping-settings.js';
import { keepHouse } from './housekeeping.js';
import { rollUpEnded } from './scheduled-roll-ups.js';

const underTest = storeUnderTest();
let store: Store;
beforeEach(() => {
  store = underTest.store();
});
const write = (count: number, stepMs: number): void =>
  store.series.write(
    Array.from({ length: count }, (_, index) => ({ ...speed, atMs: startMs + index * stepMs, value: index })),
  );

describe('what happens by the clock', () => {
  it('rolls up every window that has ended, lets others have their turn in between, and leaves the open one', async () => {
    write(3600, 1000);
    let turns = 0;
    const turning = setInterval(() => (turns += 1));
    const all = await rollUpEnded(store.rollUps, () => startMs + hourMs + 2000, 60_000);
    clearInterval(turning);
    expect(all).toBe(true);
    // 3 s are left for readings on their way: the last ten seconds, minute and hour are still open.
    expect(store.rollUps.dueWithin(speed, startMs, startMs + hourMs, 1000)).toBe(1);
    expect(turns).toBeGreaterThan(3);
  });

  it('stops when its time is over and goes on the next time', async () => {
    write(3600, 1000);
    let nowMs = startMs + 2 * hourMs;
    const hurried = (): number => (nowMs += 10);
    expect(await rollUpEnded(store.rollUps, hurried, 50)).toBe(false);
    expect(store.rollUps.dueWithin(speed, startMs, startMs + hourMs, 1000)).toBeGreaterThan(0);
    while (!(await rollUpEnded(store.rollUps, hurried, 50)));
    expect(store.rollUps.dueWithin(speed, startMs, startMs + hourMs, 1000)).toBe(0);
  });

  it('lets go of all that is too old in one round, and tells of what a replica lacked as a gap', async () => {
    store.replica.addReplica('influx');
    write(40_000, 1000);
    const journal = await openJournal({ directory: join(underTest.directory(), 'journal') });
    const keeping = {
      ...keepingSettings(keepingVariables.parse({})),
      rawSeriesMs: hourMs,
      uncopiedMaxRows: 1000,
    };
    const warned: object[] = [];
    const log = pino({ level: 'warn' }, { write: (line) => void warned.push(JSON.parse(line) as object) });
    await keepHouse({ store, journal, keeping, now: startMs + 40_000_000, log });
    await journal.close();
    expect(store.rollUps.oldestMs(speed, 'raw')).toBe(startMs + 40_000_000 - hourMs);
    expect(store.rollUps.windows(speed, '1h', startMs, startMs + 40_000_000)).toHaveLength(12);
    expect(store.replica.behind('influx')).toBe(1000);
    expect(store.gaps.query({ limit: 10 })).toMatchObject([
      { what: 'replica influx', count: 39_000, fromMs: startMs, toMs: startMs + 38_999_000 },
    ]);
    expect(warned).toMatchObject([{ rows: 39_000, rollUps: 0 }]);
  });
});
