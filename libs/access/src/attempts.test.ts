import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { afterFailure, type Failures, isForgotten, pauseMs, remainingPauseMs } from './attempt-pause.js';
import { type Budget, giveBack, isFull, takeOne } from './budget.js';
import { afterProof, afterWrongPin, isPinTaken, noPinFailures, type PinFailures } from './pin-attempts.js';

describe('pauses after wrong attempts', () => {
  it('lets people mistype three times', () => {
    let failures: Failures | undefined;
    for (let tries = 0; tries < 3; tries += 1) {
      expect(remainingPauseMs(failures, 'unfamiliar', 1000)).toBe(0);
      failures = afterFailure(failures, 1000);
    }
    expect(remainingPauseMs(failures, 'unfamiliar', 1000)).toBe(1000);
    expect(remainingPauseMs(failures, 'unfamiliar', 2000)).toBe(0);
  });

  it('doubles up to a quarter of an hour, or half a minute where the person is known', () => {
    expect([3, 4, 5, 8].map((count) => pauseMs(count, 'unfamiliar'))).toEqual([1000, 2000, 4000, 32_000]);
    expect(pauseMs(50, 'unfamiliar')).toBe(900_000);
    expect(pauseMs(5000, 'familiar')).toBe(30_000);
  });

  it('never grows shorter with more failures and is never longer for the known', () => {
    fc.assert(
      fc.property(fc.nat(10_000), (count) => {
        expect(pauseMs(count + 1, 'unfamiliar')).toBeGreaterThanOrEqual(pauseMs(count, 'unfamiliar'));
        expect(pauseMs(count, 'familiar')).toBeLessThanOrEqual(pauseMs(count, 'unfamiliar'));
      }),
    );
  });

  it('forgets when it was quiet for long enough', () => {
    const failures = { count: 4, lastAtMs: 0 };
    expect(isForgotten(failures, 900_000)).toBe(false);
    expect(isForgotten(failures, 903_000)).toBe(true);
    expect(afterFailure(failures, 903_000).count).toBe(1);
    expect(afterFailure(failures, 10_000).count).toBe(5);
  });

  it('gives a guesser at one address fewer than 130 passwords of one name a day', () => {
    let failures: Failures | undefined;
    let tried = 0;
    for (let nowMs = 0; nowMs < 86_400_000; tried += 1) {
      nowMs += remainingPauseMs(failures, 'unfamiliar', nowMs);
      failures = afterFailure(failures, nowMs);
    }
    expect(tried).toBeLessThan(130);
  });
});

describe('wrong PINs', () => {
  const wrong = (failures: PinFailures, address: string, times: number, known = false): PinFailures =>
    Array.from({ length: times }).reduce<PinFailures>(
      (before) => afterWrongPin(before, address, known ? 'familiar' : 'unfamiliar'),
      failures,
    );

  it('let the PIN rest at one screen after ten', () => {
    expect(isPinTaken(wrong(noPinFailures, 'screen', 9, true), 'screen', 'familiar')).toBe(true);
    expect(isPinTaken(wrong(noPinFailures, 'screen', 10, true), 'screen', 'familiar')).toBe(false);
  });

  it('tried elsewhere never let it rest at the screen where the person is known', () => {
    let failures = noPinFailures;
    for (let address = 0; address < 50; address += 1) failures = wrong(failures, `elsewhere ${address}`, 10);
    expect(isPinTaken(failures, 'screen', 'familiar')).toBe(true);
    expect(isPinTaken(failures, 'new screen', 'unfamiliar')).toBe(false);
  });

  it('are forgiven everywhere by the password, and by a right PIN where it was given', () => {
    const failures = wrong(wrong(noPinFailures, 'screen', 9, true), 'elsewhere', 30);
    expect(afterProof(failures, 'screen', 'password')).toEqual(noPinFailures);
    const proved = afterProof(failures, 'screen', 'pin');
    expect(isPinTaken(wrong(proved, 'screen', 9, true), 'screen', 'familiar')).toBe(true);
    expect(isPinTaken(proved, 'elsewhere', 'unfamiliar')).toBe(false);
  });
});

describe('a budget', () => {
  const rule = { atOnce: 3, perSecond: 2 };

  it('gives what it holds, then says how long to wait', () => {
    let budget: Budget | undefined;
    for (let taken = 0; taken < 3; taken += 1) {
      const take = takeOne(budget, rule, 0);
      expect(take.taken).toBe(true);
      budget = take.budget;
    }
    expect(takeOne(budget, rule, 0)).toMatchObject({ taken: false, waitMs: 500 });
    expect(takeOne(budget, rule, 500).taken).toBe(true);
    expect(isFull(budget!, rule, 1499)).toBe(false);
    expect(isFull(budget!, rule, 1500)).toBe(true);
  });

  it('takes back what turned out to cost nothing, and never holds more than it can', () => {
    const { budget } = takeOne({ left: 1, atMs: 0 }, rule, 0);
    expect(giveBack(budget, rule, 0).left).toBe(1);
    expect(giveBack(undefined, rule, 0).left).toBe(3);
  });

  it('never gives more than it holds and what flows in', () => {
    fc.assert(
      fc.property(fc.array(fc.nat(3000), { maxLength: 200 }), (gaps) => {
        let budget: Budget | undefined;
        let [nowMs, taken] = [0, 0];
        for (const gap of gaps) {
          nowMs += gap;
          const take = takeOne(budget, rule, nowMs);
          budget = take.budget;
          if (take.taken) taken += 1;
        }
        expect(taken).toBeLessThanOrEqual(rule.atOnce + (nowMs / 1000) * rule.perSecond + 1e-9);
      }),
    );
  });
});
