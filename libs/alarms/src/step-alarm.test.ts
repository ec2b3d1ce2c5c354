import { reason } from '@edge-margin/units';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { AlarmInput, AlarmSample, AlarmStep } from './alarm-input.js';
import { type AlarmDefinition, type AlarmKeyState, alarmView, initialAlarm } from './alarm-state.js';
import type { AlarmTransition } from './alarm-types.js';
import { stepAlarm } from './step-alarm.js';

// Invented station. Foreseen: time until the earliest boundary, s (at most 1800 s). Reached: edge risk, 1 (at least 0.5).
const air: AlarmDefinition = {
  alarmKey: 'w3.a.air',
  winderId: 'w3',
  stationId: 'a',
  mechanism: 'air',
  stages: {
    foreseen: {
      priority: 'medium',
      condition: { direction: 'low', setPoint: 1800, deadband: 60, onDelayS: 3, offDelayS: 10 },
    },
    reached: {
      priority: 'high',
      condition: { direction: 'high', setPoint: 0.5, deadband: 0.1, onDelayS: 3, offDelayS: 10 },
    },
  },
  modelRevision: 'm1',
  configurationRevision: 'c1',
};

const clear = { foreseen: Infinity, reached: 0.01 };
const foreseen = { foreseen: 900, reached: 0.1 };
const reached = { foreseen: 0, reached: 0.6 };

const sample = (s: number, values: AlarmSample['values'], text = `as at ${s} s`): AlarmSample => ({
  kind: 'sample',
  atMs: s * 1000,
  values,
  because: reason('test', text),
  response: `slow down, said at ${s} s`,
});
const time = (s: number): AlarmInput => ({ kind: 'time', atMs: s * 1000 });
const acknowledge = (s: number, sinceS: number, actor = 'operator one'): AlarmInput => ({
  kind: 'acknowledge',
  atMs: s * 1000,
  occurrenceId: `w3.a.air@${sinceS * 1000}`,
  actor,
  comment: null,
});

function run(inputs: readonly AlarmInput[], definition = air, between = (state: AlarmKeyState) => state) {
  let state = initialAlarm;
  const steps: AlarmStep[] = [];
  for (const input of inputs) {
    const step = stepAlarm(definition, between(state), input);
    steps.push(step);
    state = step.state;
  }
  const refused = steps.flatMap((step) => (step.refused === null ? [] : [step.refused.code]));
  return {
    state,
    refused,
    transitions: steps.flatMap((step) => step.transitions),
    view: alarmView(definition, state),
  };
}

const words = (transitions: readonly AlarmTransition[]) =>
  transitions.map(
    ({ kind, from, to, atMs, alarm }) => `${kind} ${atMs / 1000}: ${from} -> ${to} (${alarm.stage})`,
  );

describe('an occurrence from onset to end', () => {
  it('has no view before the first one', () => {
    expect(run([sample(0, clear)]).view).toBeNull();
  });

  it('is foreseen, then reached, acknowledged, foreseen again and gone', () => {
    const { transitions, view } = run([
      sample(0, clear),
      sample(100, foreseen),
      sample(200, reached),
      time(204),
      acknowledge(210, 100),
      sample(300, foreseen),
      sample(400, clear),
      time(500),
    ]);
    expect(words(transitions)).toEqual([
      'raise 103: NORM -> UNACK (foreseen)',
      'escalate 203: UNACK -> UNACK (reached)',
      'acknowledge 210: UNACK -> ACKED (reached)',
      'de-escalate 310: ACKED -> ACKED (foreseen)',
      'clear 410: ACKED -> NORM (foreseen)',
    ]);
    expect(transitions.map(({ id }) => id)).toEqual([
      'w3.a.air@100000:raise:foreseen',
      'w3.a.air@100000:escalate:reached',
      'w3.a.air@100000:acknowledge',
      'w3.a.air@100000:de-escalate:foreseen',
      'w3.a.air@100000:clear',
    ]);
    expect(view).toMatchObject({
      state: 'NORM',
      conditionSinceMs: 100_000,
      raisedAtMs: 103_000,
      clearedAtMs: 410_000,
      inputQuality: 'good',
    });
  });

  it('carries priority by stage, revisions, actor and the text of its time', () => {
    const { transitions } = run([
      sample(100, foreseen),
      sample(150, foreseen),
      sample(200, reached),
      sample(203, reached),
      acknowledge(210, 100),
    ]);
    expect(transitions.map(({ alarm }) => [alarm.priority, alarm.because.text, alarm.response])).toEqual([
      ['medium', 'as at 100 s', 'slow down, said at 100 s'],
      ['high', 'as at 203 s', 'slow down, said at 203 s'],
      ['high', 'as at 203 s', 'slow down, said at 203 s'],
    ]);
    expect(transitions.map(({ actor }) => actor)).toEqual([null, null, 'operator one']);
    expect(transitions[0]).toMatchObject({ modelRevision: 'm1', configurationRevision: 'c1' });
    expect(transitions[2]?.alarm.acknowledged).toEqual({
      atMs: 210_000,
      actor: 'operator one',
      comment: null,
    });
  });

  it('shows the latest text while it is active and keeps its last one when it is over', () => {
    const active = run([sample(100, foreseen), sample(104, foreseen), sample(105, foreseen)]);
    expect(active.view?.because.text).toBe('as at 105 s');
    const over = run([
      sample(100, foreseen),
      sample(104, foreseen),
      sample(105, clear, 'nothing wrong'),
      sample(120, clear, 'nothing wrong'),
    ]);
    expect(over.view).toMatchObject({ state: 'RTNUN', because: { text: 'nothing wrong' } });
    const after = run([
      sample(100, foreseen),
      sample(104, foreseen, 'free from 830 mm'),
      sample(114, clear),
      sample(124, clear),
      sample(130, clear),
    ]);
    expect(after.view?.because.text).toBe('as at 114 s');
  });

  it('returns to normal unacknowledged, and leaves that state by its acknowledgement', () => {
    const { transitions } = run([
      sample(100, foreseen),
      sample(110, clear),
      time(121),
      acknowledge(130, 100),
    ]);
    expect(words(transitions)).toEqual([
      'raise 103: NORM -> UNACK (foreseen)',
      'clear 120: UNACK -> RTNUN (foreseen)',
      'acknowledge 130: RTNUN -> NORM (foreseen)',
    ]);
  });
});

describe('stages', () => {
  it('raise one alarm at once where both come at the same instant', () => {
    expect(words(run([sample(100, reached), sample(110, reached)]).transitions)).toEqual([
      'raise 103: NORM -> UNACK (reached)',
    ]);
  });

  it('annunciate anew when the stage rises after it was acknowledged', () => {
    const { transitions, view } = run([
      sample(100, foreseen),
      time(104),
      acknowledge(105, 100),
      sample(200, reached),
      time(204),
    ]);
    expect(words(transitions).at(-1)).toBe('escalate 203: ACKED -> UNACK (reached)');
    expect(view?.acknowledged).toBeNull();
  });

  it('count their repeats in the ids, so that no two transitions share one', () => {
    const swing = [200, 300, 400, 500].map((s, i) => sample(s, i % 2 === 0 ? reached : foreseen));
    const { transitions } = run([
      sample(100, foreseen),
      ...swing,
      sample(600, reached),
      time(604),
      acknowledge(605, 100),
      time(700),
    ]);
    expect(transitions.map(({ id }) => id.slice('w3.a.air@100000:'.length))).toEqual([
      'raise:foreseen',
      'escalate:reached',
      'de-escalate:foreseen',
      'escalate:reached:2',
      'de-escalate:foreseen:2',
      'escalate:reached:3',
      'acknowledge',
    ]);
  });

  it('hand over at one instant without an end in between', () => {
    const swap: AlarmDefinition = {
      ...air,
      stages: {
        foreseen: {
          priority: 'low',
          condition: { direction: 'low', setPoint: 10, deadband: 0, onDelayS: 0, offDelayS: 0 },
        },
        reached: {
          priority: 'high',
          condition: { direction: 'high', setPoint: 0.5, deadband: 0, onDelayS: 0, offDelayS: 0 },
        },
      },
    };
    const { transitions } = run(
      [
        sample(0, { foreseen: 5, reached: 0 }),
        sample(1, { foreseen: 99, reached: 1 }),
        sample(2, { foreseen: 5, reached: 0 }),
      ],
      swap,
    );
    expect(words(transitions)).toEqual([
      'raise 0: NORM -> UNACK (foreseen)',
      'escalate 1: UNACK -> UNACK (reached)',
      'de-escalate 2: UNACK -> UNACK (foreseen)',
    ]);
  });

  it('start an occurrence of its own, named after the end of the last one, where the lower stage was pending all the while', () => {
    const slow: AlarmDefinition = {
      ...air,
      stages: {
        foreseen: {
          priority: 'low',
          condition: { direction: 'low', setPoint: 1800, deadband: 0, onDelayS: 100, offDelayS: 0 },
        },
        reached: {
          priority: 'high',
          condition: { direction: 'high', setPoint: 0.5, deadband: 0, onDelayS: 0, offDelayS: 0 },
        },
      },
    };
    const { transitions } = run([sample(50, reached), sample(60, foreseen), time(200)], slow);
    expect(transitions.map(({ id }) => id)).toEqual([
      'w3.a.air@50000:raise:reached',
      'w3.a.air@50000:clear',
      'w3.a.air@60000:raise:foreseen',
    ]);
  });

  it('that a new plant file takes away no longer hold the alarm up', () => {
    const { state } = run([sample(100, foreseen), time(104)]);
    const without: AlarmDefinition = { ...air, stages: { reached: air.stages.reached! } };
    const step = stepAlarm(without, state, sample(200, clear));
    expect(words(step.transitions)).toEqual(['clear 200: UNACK -> RTNUN (foreseen)']);
  });

  it('may be one only, as for a signal that is stale', () => {
    const signal: AlarmDefinition = {
      ...air,
      alarmKey: 'w3.a.signal.speed.both',
      mechanism: 'signal',
      stages: {
        reached: {
          priority: 'low',
          condition: { direction: 'high', setPoint: 1, deadband: 0, onDelayS: 0, offDelayS: 0 },
        },
      },
    };
    const { transitions } = run(
      [sample(0, { reached: 0 }), sample(5, { reached: 1 }), sample(9, { reached: 0 })],
      signal,
    );
    expect(transitions.map(({ id }) => id)).toEqual([
      'w3.a.signal.speed.both@5000:raise:reached',
      'w3.a.signal.speed.both@5000:clear',
    ]);
  });
});

describe('acknowledgement', () => {
  const raised = [sample(100, foreseen), time(104)];

  it('of the same occurrence twice is accepted and journaled once', () => {
    const { transitions, refused } = run([
      ...raised,
      acknowledge(105, 100),
      acknowledge(106, 100, 'operator two'),
    ]);
    expect(words(transitions).at(-1)).toBe('acknowledge 105: UNACK -> ACKED (foreseen)');
    expect(transitions).toHaveLength(2);
    expect(refused).toEqual([]);
  });

  it('is accepted, without a second entry, after the occurrence has gone', () => {
    const { transitions, refused, view } = run([
      ...raised,
      acknowledge(105, 100),
      sample(110, clear),
      time(130),
      acknowledge(140, 100),
    ]);
    expect(words(transitions).at(-1)).toBe('clear 120: ACKED -> NORM (foreseen)');
    expect(refused).toEqual([]);
    expect(view?.acknowledged?.atMs).toBe(105_000);
  });

  it('that comes late, for an older occurrence, does not reach the newer one', () => {
    const { refused, view } = run([
      ...raised,
      sample(110, clear),
      sample(150, foreseen),
      time(160),
      acknowledge(161, 100),
    ]);
    expect(refused).toEqual(['not-the-present-occurrence']);
    expect(view).toMatchObject({ state: 'UNACK', occurrenceId: 'w3.a.air@150000', acknowledged: null });
  });

  it('is refused where nothing has ever happened', () => {
    expect(run([acknowledge(1, 0)]).refused).toEqual(['nothing-to-acknowledge']);
  });

  it('does not carry over to the next occurrence', () => {
    const { view } = run([
      ...raised,
      acknowledge(105, 100),
      sample(110, clear),
      sample(150, foreseen),
      time(160),
    ]);
    expect(view).toMatchObject({ state: 'UNACK', acknowledged: null, clearedAtMs: null });
  });
});

describe('stale input', () => {
  const stale = { foreseen: 'stale', reached: 'stale' } as const;

  it('freezes the alarm, shows it, and never clears it', () => {
    const { transitions, view } = run([
      sample(100, foreseen),
      sample(110, clear),
      sample(112, stale, 'no diameter since 02:31'),
      time(9999),
    ]);
    expect(words(transitions)).toEqual(['raise 103: NORM -> UNACK (foreseen)']);
    expect(view).toMatchObject({
      state: 'UNACK',
      inputQuality: 'stale',
      because: { text: 'no diameter since 02:31' },
    });
  });

  it('can be acknowledged, and clears on good data only', () => {
    const { transitions } = run([
      sample(100, foreseen),
      sample(110, stale),
      acknowledge(120, 100),
      sample(130, clear),
      time(141),
    ]);
    expect(words(transitions).slice(1)).toEqual([
      'acknowledge 120: UNACK -> ACKED (foreseen)',
      'clear 140: ACKED -> NORM (foreseen)',
    ]);
  });

  it('of one stage leaves the other at work', () => {
    const { transitions, view } = run([sample(100, { foreseen: 'stale', reached: 0.6 }), time(104)]);
    expect(words(transitions)).toEqual(['raise 103: NORM -> UNACK (reached)']);
    expect(view?.inputQuality).toBe('stale');
  });
});

describe('history', () => {
  it('does not move the alarm: a sample older than the last one changes nothing', () => {
    const { state } = run([sample(100, foreseen), time(104), sample(110, foreseen)]);
    expect(stepAlarm(air, state, sample(109, clear))).toEqual({ state, transitions: [], refused: null });
  });

  it('keeps ids apart even where samples of one instant contradict each other', () => {
    const quick: AlarmDefinition = {
      ...air,
      stages: {
        reached: {
          priority: 'high',
          condition: { direction: 'high', setPoint: 0.5, deadband: 0, onDelayS: 0, offDelayS: 0 },
        },
      },
    };
    const { transitions } = run(
      [1, 0, 1, 0].map((value) => sample(5, { reached: value })),
      quick,
    );
    expect(transitions.map(({ id }) => id.slice('w3.a.air@5000:'.length))).toEqual([
      'raise:reached',
      'clear',
      'raise:reached:2',
      'clear:2',
    ]);
  });
});

describe('any run of inputs', () => {
  const values = fc.record({
    foreseen: fc.constantFrom<number | 'stale'>(Infinity, 1900, 1830, 1800, 600, 0, 'stale'),
    reached: fc.constantFrom<number | 'stale'>(0, 0.39, 0.45, 0.5, 0.9, 'stale'),
  });
  const step = fc.oneof(
    {
      weight: 6,
      arbitrary: fc.record({
        kind: fc.constant('sample' as const),
        gapMs: fc.integer({ min: 0, max: 15_000 }),
        values,
      }),
    },
    {
      weight: 1,
      arbitrary: fc.record({
        kind: fc.constant('acknowledge' as const),
        back: fc.integer({ min: 0, max: 2 }),
      }),
    },
  );
  type Step =
    { kind: 'sample'; gapMs: number; values: AlarmSample['values'] } | { kind: 'acknowledge'; back: number };
  const runs: fc.Arbitrary<Step[]> = fc.array(step, { maxLength: 50 });

  /** Plays the steps; an acknowledgement names the last occurrence seen or an older one. `silence` is played before each sample. */
  function play(
    steps: readonly Step[],
    silence: (fromMs: number, toMs: number) => AlarmInput[],
    between?: (s: AlarmKeyState) => AlarmKeyState,
  ) {
    let state = initialAlarm;
    let atMs = 0;
    const transitions: AlarmTransition[] = [];
    const feed = (input: AlarmInput) => {
      const result = stepAlarm(air, between?.(state) ?? state, input);
      state = result.state;
      transitions.push(...result.transitions);
    };
    for (const now of steps) {
      if (now.kind === 'acknowledge') {
        const occurrences = [...new Set(transitions.map(({ alarm }) => alarm.occurrenceId))];
        feed({
          kind: 'acknowledge',
          atMs,
          occurrenceId: occurrences.at(-1 - now.back) ?? 'none',
          actor: 'x',
          comment: null,
        });
      } else {
        const fromMs = atMs;
        atMs += now.gapMs;
        for (const input of silence(fromMs, atMs)) feed(input);
        feed(sample(atMs / 1000, now.values));
      }
    }
    feed(time(atMs / 1000 + 1000));
    return { state, transitions };
  }

  it('gives the same transitions and the same state on replay', () => {
    fc.assert(
      fc.property(runs, (steps) => {
        expect(play(steps, () => [])).toEqual(play(steps, () => []));
      }),
    );
  });

  it('gives the same after a restart between any two inputs', () => {
    const restart = (state: AlarmKeyState) => JSON.parse(JSON.stringify(state)) as AlarmKeyState;
    fc.assert(
      fc.property(runs, (steps) => {
        expect(play(steps, () => [], restart)).toEqual(play(steps, () => []));
      }),
    );
  });

  it('gives the same transitions of the condition however silence is split, up to the next sample', () => {
    const shares = fc
      .array(fc.double({ min: 0, max: 1, noNaN: true }), { maxLength: 6 })
      .map((list) => list.sort((a, b) => a - b));
    // Without acknowledgements: whether a person comes before or after a delay ends is theirs to decide.
    const samplesOnly = runs.map((steps) => steps.filter(({ kind }) => kind === 'sample'));
    fc.assert(
      fc.property(samplesOnly, shares, (steps, split) => {
        const silence = (fromMs: number, toMs: number) =>
          split.map((share): AlarmInput => ({ kind: 'time', atMs: fromMs + share * (toMs - fromMs) }));
        expect(play(steps, silence)).toEqual(play(steps, () => []));
      }),
    );
  });

  it('never gives two transitions the same id, and chains their states', () => {
    fc.assert(
      fc.property(runs, (steps) => {
        const { transitions } = play(steps, () => []);
        expect(new Set(transitions.map(({ id }) => id)).size).toBe(transitions.length);
        transitions.forEach(({ from }, i) => expect(from).toBe(transitions[i - 1]?.to ?? 'NORM'));
      }),
    );
  });

  it('never clears, and never raises, at an instant at which every input is stale', () => {
    fc.assert(
      fc.property(runs, (steps) => {
        const stale = steps.map((now): Step =>
          now.kind === 'sample' ? { ...now, values: { foreseen: 'stale', reached: 'stale' } } : now,
        );
        const { state } = play(steps, () => []);
        const lastMs = Math.max(0, ...Object.values(state.conditions).map(({ latestMs }) => latestMs ?? 0));
        let after = state;
        let atMs = lastMs;
        for (const now of stale) {
          if (now.kind !== 'sample') continue;
          atMs += now.gapMs;
          const result = stepAlarm(air, after, sample(atMs / 1000, now.values));
          expect(result.transitions).toEqual([]);
          after = result.state;
        }
      }),
    );
  });

  it('keeps its state small', () => {
    fc.assert(
      fc.property(runs, (steps) => {
        expect(JSON.stringify(play(steps, () => []).state).length).toBeLessThan(1500);
      }),
    );
  });
});
