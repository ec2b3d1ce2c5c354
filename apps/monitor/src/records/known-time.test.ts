import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { believedAfterMs, clockAhead, type KnownTime, lookAtClock } from './known-time.js';

const hourMs = 3_600_000;
const dayMs = 24 * hourMs;
const startMs = 1_790_000_000_000;
const known: KnownTime = { atMs: startMs, awayMs: 0 };

/** What is known after the service has run for so long with a clock that is off by so much, looked at every 20 s. */
const after = (from: KnownTime, offMs: number, ranMs: number): KnownTime => {
  let now = from;
  const begunMs = from.atMs;
  for (let ms = 20_000; ms <= ranMs; ms += 20_000) now = lookAtClock(now, begunMs + ms + offMs, 20_000);
  return now;
};

describe('the time that ages are measured from', () => {
  it('follows a clock that runs, that a time service corrects, and that summer time moves', () => {
    for (const offMs of [0, 1500, -1500, hourMs, -hourMs, 2 * hourMs])
      expect(after(known, offMs, dayMs)).toEqual({ atMs: startMs + dayMs + offMs, awayMs: 0 });
  });

  it('goes on at its own pace where the clock jumps ahead, and says so', () => {
    const held = after(known, 365 * dayMs, 3 * hourMs);
    expect(held).toEqual({ atMs: startMs + 3 * hourMs, awayMs: 3 * hourMs });
    const because = clockAhead(held, held.atMs + 365 * dayMs);
    expect(because).toMatchObject({
      code: 'clock-ahead',
      params: { aheadS: 365 * 86_400, leftS: 21 * 3600 },
    });
    expect(because?.text).toMatch(/clock is 365 days ahead .* another 21 h$/);
  });

  it('forgets the jump as soon as the clock is put right', () => {
    const held = after(known, 49 * hourMs, 5 * hourMs);
    const right = after(held, 0, 20_000);
    expect(right).toEqual({ atMs: startMs + 5 * hourMs + 20_000, awayMs: 0 });
    expect(clockAhead(right, right.atMs)).toBeNull();
  });

  it('believes a clock that has stood for a day of running, as after a long time without power', () => {
    const offMs = 30 * dayMs;
    const held = after(known, offMs, believedAfterMs - 20_000);
    expect(held.atMs).toBe(startMs + believedAfterMs - 20_000);
    const believed = after(held, offMs, 20_000);
    expect(believed).toEqual({ atMs: startMs + believedAfterMs + offMs, awayMs: 0 });
  });

  it('does not count the time for which the service did not run', () => {
    const begun = after(known, 30 * dayMs, 10 * hourMs);
    // A week later: the first look after a start, no time of running since.
    const again = lookAtClock(begun, startMs + 37 * dayMs, 0);
    expect(again).toEqual({ atMs: startMs + 10 * hourMs, awayMs: 10 * hourMs });
  });

  it('keeps what it knows where the clock stands at the beginning of its count, as after a battery has died', () => {
    const held = after(known, -50 * 365 * dayMs, 5 * hourMs);
    expect(held.atMs).toBe(startMs + 5 * hourMs);
    expect(clockAhead(held, startMs - 50 * 365 * dayMs)).toBeNull();
    expect(after(held, 0, 20_000).awayMs).toBe(0);
  });

  it('never lets go of anything younger than its time by true time, however often the clock is set for less than a day', () => {
    const settings = fc.array(
      fc.record({
        offMs: fc.integer({ min: -400 * dayMs, max: 400 * dayMs }),
        ranMs: fc.integer({ min: 1, max: 23 }).map((hours) => hours * hourMs),
      }),
      { maxLength: 8 },
    );
    fc.assert(
      fc.property(settings, (all) => {
        let trueMs = startMs;
        let now = known;
        for (const { offMs, ranMs } of all) {
          for (let ms = 0; ms < ranMs; ms += 600_000) {
            trueMs += 600_000;
            now = lookAtClock(now, trueMs + offMs, 600_000);
            // Within the allowance of the settings before, each of which may add its own.
            expect(Math.min(now.atMs, trueMs + offMs)).toBeLessThanOrEqual(trueMs + 2 * hourMs);
          }
          // Put right in between.
          trueMs += 600_000;
          now = lookAtClock(now, trueMs, 600_000);
        }
      }),
    );
  });
});
