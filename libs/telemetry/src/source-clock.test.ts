import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type SourceClock, observeDelay, unobservedClock } from './source-clock.js';

const after = (delays: readonly number[], from: SourceClock = unobservedClock) =>
  delays.reduce(observeDelay, from);
const repeated = (delayMs: number, times: number) => Array.from({ length: times }, () => delayMs);

describe('the clock of a source', () => {
  it('is left alone while its messages arrive after they were sent', () => {
    expect(after([80, 120, 4000, 90]).aheadMs).toBe(0);
  });

  it('is left alone where it is ahead by no more than 2 s', () => {
    expect(after(repeated(-2000, 100)).aheadMs).toBe(0);
  });

  it('is set back from the first message on where that looks 5 s ahead', () => {
    expect(after([-4900]).aheadMs).toBe(4900);
  });

  it('keeps one correction while the delays scatter by less than half a second', () => {
    const scatter = Array.from({ length: 200 }, (_, i) => -4900 + ((i * 97) % 450));
    const corrections = scatter.map((_, i) => after(scatter.slice(0, i + 1)).aheadMs);
    expect(new Set(corrections)).toEqual(new Set([4900]));
  });

  it('is not judged by one wrong time stamp, nor by the second and third among sixty', () => {
    expect(after([...repeated(80, 20), -30_000]).aheadMs).toBe(0);
    expect(after([-30_000, 80]).aheadMs).toBe(0);
    expect(after([...repeated(-5000, 45), -30_000, -30_000, -30_000]).aheadMs).toBe(5000);
  });

  it('is followed when it jumps ahead while it runs', () => {
    expect(after([...repeated(80, 60), ...repeated(-7000, 4)]).aheadMs).toBe(7000);
  });

  it('is no longer set back after it was put right, within sixty messages', () => {
    expect(after([...repeated(-5000, 100), ...repeated(80, 60)]).aheadMs).toBe(0);
  });

  it('keeps its correction through a backlog, whose delays tell nothing', () => {
    const backlog = Array.from({ length: 500 }, (_, i) => 3_600_000 - i * 7000);
    const short = Array.from({ length: 200 }, (_, i) => 30_000 - i * 95);
    expect(after([...backlog, ...short], after(repeated(-5000, 60))).aheadMs).toBe(5000);
  });

  it('is never set back by more than its messages looked ahead, and its memory stays small', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: -60_000, max: 100_000 }), { minLength: 1, maxLength: 200 }),
        (delays) => {
          const clock = after(delays);
          expect(clock.aheadMs).toBeLessThanOrEqual(Math.max(0, -Math.min(...delays)));
          expect(clock.aheadMs).toBeGreaterThanOrEqual(0);
          expect(JSON.stringify(clock).length).toBeLessThan(130);
          expect(JSON.parse(JSON.stringify(clock))).toEqual(clock);
        },
      ),
    );
  });
});
