import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type Condition,
  type ConditionEvent,
  type ConditionSample,
  type ConditionState,
  advanceCondition,
  initialCondition,
  stepCondition,
} from './condition.js';

const high = (setPoint: number, deadband: number, onDelayS: number, offDelayS: number): Condition => ({
  direction: 'high',
  setPoint,
  deadband,
  onDelayS,
  offDelayS,
});

const atSeconds = (samples: readonly (readonly [number, number])[]): ConditionSample[] =>
  samples.map(([s, value]) => ({ atMs: s * 1000, value }));

/** Folds the samples, then lets time pass to `endS`. Every state goes through JSON. */
function run(condition: Condition, samples: readonly ConditionSample[], endS = 1e6): ConditionEvent[] {
  let state = initialCondition;
  const events: ConditionEvent[] = [];
  for (const sample of samples) {
    const step = stepCondition(condition, state, sample);
    state = JSON.parse(JSON.stringify(step.state)) as ConditionState;
    events.push(...step.events);
  }
  return [...events, ...advanceCondition(condition, state, endS * 1000).events];
}

const words = (events: readonly ConditionEvent[]) => events.map(({ kind, atMs }) => `${kind} ${atMs / 1000}`);

// Cases F1 to F7: own worked cases for the delays and deadbands of ISA-18.2 / OPC UA Part 9 B.1.5, worked by hand.
describe('set point, deadband and delays of a high limit', () => {
  it('F1: judges the on-delay against the set point and the off-delay against set point less deadband', () => {
    const samples = atSeconds([[0, 79], [1, 80], [4, 79.9], [5, 81], [12, 78.5], [13, 77.9], [20, 78.0], [21, 77.0]]); // prettier-ignore
    const events = run(high(80, 2, 5, 10), samples);
    expect(words(events)).toEqual(['raise 10', 'clear 31']);
    expect(events[0]?.sinceMs).toBe(5000);
  });

  it('F2: raises without a new sample, because values hold', () => {
    expect(words(run(high(80, 2, 5, 10), atSeconds([[0, 81]])))).toEqual(['raise 5']);
  });

  it('F3: acts at once where there are no delays', () => {
    const samples = atSeconds([[0, 80], [1, 79], [2, 78], [3, 77.99], [4, 80]]); // prettier-ignore
    expect(words(run(high(80, 2, 0, 0), samples))).toEqual(['raise 0', 'clear 3', 'raise 4']);
  });

  const alternating = atSeconds(
    Array.from({ length: 12 }, (_, i) => [i * 0.5, i % 2 === 0 ? 80 : 79.9] as const),
  );

  it('F6: follows every swing where there is neither deadband nor delay', () => {
    const events = run(high(80, 0, 0, 0), alternating);
    expect(events.filter(({ kind }) => kind === 'raise')).toHaveLength(6);
    expect(events.filter(({ kind }) => kind === 'clear')).toHaveLength(6);
  });

  it('F7: a deadband wider than the swing leaves one raise', () => {
    expect(words(run(high(80, 1, 0, 0), alternating))).toEqual(['raise 0']);
  });

  it('lets the sample win over a delay that ends at the same instant', () => {
    expect(words(run(high(80, 2, 5, 10), atSeconds([[0, 81], [5, 79]])))).toEqual([]); // prettier-ignore
    expect(words(run(high(80, 2, 5, 10), atSeconds([[0, 81], [5, 81]])))).toEqual(['raise 5']); // prettier-ignore
  });

  it('waits with a delay that ends at the instant to which time has come, for a sample of that instant may follow', () => {
    const { state } = stepCondition(high(80, 2, 5, 10), initialCondition, { atMs: 0, value: 81 });
    expect(advanceCondition(high(80, 2, 5, 10), state, 5000).events).toEqual([]);
    expect(words(advanceCondition(high(80, 2, 5, 10), state, 5001).events)).toEqual(['raise 5']);
  });

  it('ignores a sample that is older than the last one', () => {
    const { state } = stepCondition(high(80, 0, 0, 0), initialCondition, { atMs: 5000, value: 81 });
    expect(stepCondition(high(80, 0, 0, 0), state, { atMs: 4000, value: 10 })).toEqual({ state, events: [] });
  });
});

describe('a low limit', () => {
  const low: Condition = { direction: 'low', setPoint: 1800, deadband: 60, onDelayS: 3, offDelayS: 10 };

  it('is the mirror image of a high limit', () => {
    const samples = atSeconds([[0, 1801], [1, 1800], [10, 1860], [20, 1860.5], [25, 1859], [30, 1861]]); // prettier-ignore
    expect(words(run(low, samples))).toEqual(['raise 4', 'clear 40']);
  });

  it('counts Infinity as out: no boundary ahead', () => {
    const samples = atSeconds([[0, 900], [10, Infinity]]); // prettier-ignore
    expect(words(run(low, samples))).toEqual(['raise 3', 'clear 20']);
  });
});

describe('input that is not good', () => {
  const stale = (s: number): ConditionSample => ({ atMs: s * 1000, quality: 'stale' });
  const good = (s: number, value: number): ConditionSample => ({ atMs: s * 1000, value });
  const condition = high(80, 2, 5, 10);

  it('never clears, however long it lasts', () => {
    expect(words(run(condition, [good(0, 81), good(6, 70), stale(7)]))).toEqual(['raise 5']);
  });

  it('drops a pending off-delay: the whole of it must pass on good data', () => {
    expect(words(run(condition, [good(0, 81), good(6, 70), stale(15), good(20, 70)]))).toEqual([
      'raise 5',
      'clear 30',
    ]);
  });

  it('holds a pending on-delay and goes on where the first good value is still in', () => {
    const events = run(condition, [good(0, 81), stale(3), good(60, 81)]);
    expect(events).toEqual([{ kind: 'raise', atMs: 62000, sinceMs: 0 }]);
  });

  it('raises in the end where good values are in and the signal flickers faster than the on-delay', () => {
    const flicker = Array.from({ length: 10 }, (_, i) => [good(2 * i, 81), stale(2 * i + 1)]).flat();
    // The five good seconds are over at 9 s, where the news of stale input comes at the same instant and wins.
    expect(words(run(condition, flicker))).toEqual(['raise 10']);
  });

  it('forgets a held on-delay where the first good value is out', () => {
    expect(words(run(condition, [good(0, 81), stale(3), good(60, 79), good(61, 81)]))).toEqual(['raise 66']);
  });

  it('wins over a delay that ends at the same instant', () => {
    expect(words(run(condition, [good(0, 81), stale(5)]))).toEqual([]);
    expect(words(run(condition, [good(0, 81), stale(5), good(8, 81)]))).toEqual(['raise 8']);
  });

  it('raises nothing where no good value was ever seen', () => {
    expect(run(condition, [stale(0), stale(100)])).toEqual([]);
  });
});

describe("a caller's broken contract", () => {
  it.each([
    [high(Number.NaN, 0, 0, 0), /setPoint.*NaN/],
    [high(1, -1, 0, 0), /deadband.*-1/],
    [high(1, 0, -2, 0), /onDelayS.*-2/],
    [high(1, 0, 0, Number.NaN), /offDelayS.*NaN/],
  ])('is refused with the parameter and its value', (condition, message) => {
    expect(() => stepCondition(condition, initialCondition, { atMs: 0, value: 1 })).toThrow(message);
  });

  it('refuses NaN as a value', () => {
    expect(() => stepCondition(high(1, 0, 0, 0), initialCondition, { atMs: 0, value: Number.NaN })).toThrow(
      RangeError,
    );
  });
});

describe('any run of samples', () => {
  const delays = fc.integer({ min: 0, max: 8 });
  const conditions = fc.record({
    direction: fc.constantFrom('high' as const, 'low' as const),
    setPoint: fc.constant(5),
    deadband: fc.integer({ min: 0, max: 3 }),
    onDelayS: delays,
    offDelayS: delays,
  });
  const runs = fc
    .array(
      fc.record({
        gapMs: fc.integer({ min: 0, max: 6000 }),
        value: fc.option(fc.integer({ min: 0, max: 10 }), { freq: 5 }),
      }),
      { maxLength: 40 },
    )
    .map((steps) => {
      let atMs = 0;
      return steps.map(({ gapMs, value }): ConditionSample => {
        atMs += gapMs;
        return value === null ? { atMs, quality: 'stale' } : { atMs, value };
      });
    });

  it('gives the same events however often time is told to pass in between', () => {
    fc.assert(
      fc.property(
        conditions,
        runs,
        fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { maxLength: 5 }),
        (condition, samples, splits) => {
          let state = initialCondition;
          const events: ConditionEvent[] = [];
          let fromMs = 0;
          for (const sample of samples) {
            for (const split of [...splits].sort((a, b) => a - b)) {
              const step = advanceCondition(condition, state, fromMs + split * (sample.atMs - fromMs));
              state = step.state;
              events.push(...step.events);
            }
            const step = stepCondition(condition, state, sample);
            state = step.state;
            events.push(...step.events);
            fromMs = sample.atMs;
          }
          events.push(...advanceCondition(condition, state, 1e9).events);
          expect(events).toEqual(run(condition, samples));
        },
      ),
    );
  });

  it('raises and clears in turn, in order of time, never before the delay is over', () => {
    fc.assert(
      fc.property(conditions, runs, (condition, samples) => {
        const events = run(condition, samples);
        events.forEach((event, i) => {
          expect(event.kind).toBe(i % 2 === 0 ? 'raise' : 'clear');
          if (event.kind === 'raise')
            expect(event.atMs - event.sinceMs).toBeGreaterThanOrEqual(condition.onDelayS * 1000);
          expect(event.atMs).toBeGreaterThanOrEqual(events[i - 1]?.atMs ?? 0);
        });
      }),
    );
  });

  it('agrees with a count over a grid of seconds, on good data', () => {
    const onSeconds = fc.array(fc.integer({ min: 0, max: 10 }), { minLength: 1, maxLength: 40 });
    fc.assert(
      fc.property(conditions, onSeconds, (condition, values) => {
        const samples = values.map((value, s) => ({ atMs: s * 1000, value }));
        expect(words(run(condition, samples, values.length))).toEqual(countedOverGrid(condition, values));
      }),
    );
  });
});

/** Independent of the fold: for each second, looks back over the whole delay. One sample a second, delays in whole seconds. */
function countedOverGrid(
  { direction, setPoint, deadband, onDelayS, offDelayS }: Condition,
  values: readonly number[],
): string[] {
  const turned = direction === 'high' ? values : values.map((value) => -value);
  const limit = direction === 'high' ? setPoint : -setPoint;
  const events: string[] = [];
  let raised = false;
  let from = 0;
  for (let s = 0; s < turned.length; s += 1) {
    const delay = raised ? offDelayS : onDelayS;
    const span = turned.slice(s - delay, s + 1);
    const holds =
      s - delay >= from && span.every((value) => (raised ? value < limit - deadband : value >= limit));
    if (!holds) continue;
    events.push(`${raised ? 'clear' : 'raise'} ${s}`);
    raised = !raised;
    from = s;
  }
  return events;
}
