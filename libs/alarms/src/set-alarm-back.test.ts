import { describe, expect, it } from 'vitest';
import type { AlarmSample, AlarmStep } from './alarm-input.js';
import { type AlarmDefinition, type AlarmKeyState, initialAlarm } from './alarm-state.js';
import { setAlarmBack } from './set-alarm-back.js';
import { stepAlarm } from './step-alarm.js';

const hourMs = 3_600_000;
const nip: AlarmDefinition = {
  alarmKey: 'w3.a.nip',
  winderId: 'w3',
  stationId: 'a',
  mechanism: 'nip',
  stages: {
    reached: {
      priority: 'high',
      condition: { direction: 'high', setPoint: 0.5, deadband: 0.1, onDelayS: 3, offDelayS: 10 },
    },
  },
  modelRevision: 'm1',
  configurationRevision: 'c1',
};
const because = { code: 'test', params: {}, text: 'test' };
const step = (state: AlarmKeyState, atMs: number, reached: number): AlarmStep => {
  const sample: AlarmSample = { kind: 'sample', atMs, values: { reached }, because, response: '' };
  return stepAlarm(nip, state, sample);
};
const startMs = 1_790_000_000_000;

describe('an alarm whose time is set back', () => {
  it('takes samples of the new time, which would be history otherwise', () => {
    const { state } = step(initialAlarm, startMs, 0.1);
    const earlier = startMs - hourMs + 1000;
    expect(step(state, earlier, 0.9).state).toBe(state);
    const pending = step(setAlarmBack(state, hourMs), earlier, 0.9).state;
    expect(step(pending, earlier + 4000, 0.9).transitions.map(({ kind }) => kind)).toEqual(['raise']);
  });

  it('waits as long as it would have waited', () => {
    const pending = step(step(initialAlarm, startMs, 0.1).state, startMs + 1000, 0.9).state;
    const back = setAlarmBack(pending, hourMs);
    const dueMs = startMs + 1000 + 3000 - hourMs;
    expect(step(back, dueMs - 1, 0.9).transitions).toEqual([]);
    const [raise] = step(back, dueMs + 500, 0.9).transitions;
    expect(raise?.atMs).toBe(dueMs);
  });

  it('keeps the name of its occurrence', () => {
    let { state } = step(initialAlarm, startMs, 0.9);
    const raised = step(state, startMs + 5000, 0.9);
    state = setAlarmBack(raised.state, hourMs);
    state = step(state, startMs - hourMs + 6000, 0.1).state;
    const [clear] = step(state, startMs - hourMs + 20_000, 0.1).transitions;
    expect(clear?.kind).toBe('clear');
    expect(clear?.alarm.occurrenceId).toBe(raised.transitions[0]?.alarm.occurrenceId);
  });

  it('refuses a time that is none', () => {
    expect(() => setAlarmBack(initialAlarm, -1)).toThrow(RangeError);
    expect(() => setAlarmBack(initialAlarm, Number.NaN)).toThrow(/byMs.*NaN ms/);
    expect(setAlarmBack(initialAlarm, 0)).toEqual(initialAlarm);
  });
});
