import { describe, expect, it } from 'vitest';
import { alarmFixture, fixtureNowMs } from '../fixtures/station-fixtures.js';
import { alarmStatus, countWords, mostUrgentFirst, transitionWords } from './alarm-words.js';
import { hourMinute } from './clock-words.js';
import { newHighAlarms } from './new-high-alarms.js';

const clock = hourMinute('UTC');

describe('where an alarm stands', () => {
  it('is told with its time, and by whom it was acknowledged', () => {
    expect(alarmStatus(alarmFixture(), clock)).toBe('new since 14:21');
    const acknowledged = { atMs: fixtureNowMs - 60_000, actor: 'Kim', comment: null };
    expect(alarmStatus(alarmFixture({ state: 'ACKED', acknowledged }), clock)).toBe(
      'since 14:21; acknowledged 14:27 by Kim',
    );
    expect(alarmStatus(alarmFixture({ state: 'RTNUN', clearedAtMs: fixtureNowMs }), clock)).toBe(
      'since 14:21; cleared 14:28, not acknowledged',
    );
  });

  it('says that a stale input keeps it from clearing', () => {
    expect(alarmStatus(alarmFixture({ inputQuality: 'stale' }), clock)).toContain('its input is stale');
  });
});

describe('the order of several alarms', () => {
  it('is not acknowledged first, then priority, then age', () => {
    const ids = ['acked-high', 'new-low', 'new-high-later', 'new-high'];
    const alarms = [
      alarmFixture({ alarmKey: 'acked-high', state: 'ACKED', priority: 'high' }),
      alarmFixture({ alarmKey: 'new-low', priority: 'low' }),
      alarmFixture({ alarmKey: 'new-high-later', priority: 'high', raisedAtMs: fixtureNowMs }),
      alarmFixture({ alarmKey: 'new-high', priority: 'high', raisedAtMs: fixtureNowMs - 1 }),
    ];
    expect(mostUrgentFirst(alarms).map((alarm) => alarm.alarmKey)).toEqual([
      'new-high',
      'new-high-later',
      'new-low',
      'acked-high',
    ]);
    expect(alarms.map((alarm) => alarm.alarmKey)).toEqual(ids);
  });
});

describe('the journal', () => {
  it('says what happened and by whom', () => {
    const row = {
      id: 'x',
      from: 'UNACK',
      to: 'ACKED',
      atMs: 0,
      modelRevision: '1',
      configurationRevision: '1',
    } as const;
    expect(transitionWords({ ...row, kind: 'acknowledge', actor: 'Kim', alarm: alarmFixture() })).toBe(
      'acknowledged by Kim',
    );
    expect(
      transitionWords({ ...row, kind: 'escalate', actor: null, alarm: alarmFixture({ priority: 'high' }) }),
    ).toBe('risen to high');
  });
});

describe('what is said aloud', () => {
  const name = () => 'Winder 5';
  const high = (key: string) => alarmFixture({ alarmKey: key, priority: 'high' });

  it('is a new high alarm, once', () => {
    const first = newHighAlarms(new Set(), [high('a'), alarmFixture()], name);
    expect(first.words).toBe('High alarm, Winder 5: Wraps will be free to move from 830 mm');
    expect(newHighAlarms(first.announced, [high('a')], name).words).toBeNull();
  });

  it('is one line in a flood', () => {
    const flood = Array.from({ length: 100 }, (_, at) => high(`k${at}`));
    expect(newHighAlarms(new Set(), flood, name).words).toBe('100 new high alarms');
  });

  it('is nothing for medium and low, and again for an occurrence that rises to high', () => {
    const medium = newHighAlarms(new Set(), [alarmFixture({ alarmKey: 'a' })], name);
    expect(medium.words).toBeNull();
    expect(newHighAlarms(medium.announced, [high('a')], name).words).not.toBeNull();
  });
});

describe('counts', () => {
  it('are words up to twelve', () => {
    expect([0, 1, 12, 13].map(countWords)).toEqual(['no', 'one', 'twelve', '13']);
  });
});
