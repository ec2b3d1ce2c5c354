import { describe, expect, it } from 'vitest';
import { contextFixture } from '../fixtures/context-fixture.js';
import {
  alarmFixture,
  clearAssessment,
  fixtureNowMs,
  freeFromAssessment,
  freeNowAssessment,
  noRollAssessment,
  notWatchedAssessment,
  trialAssessment,
} from '../fixtures/station-fixtures.js';
import { stateSentence, stateWords } from './state-words.js';

describe('the state of a station in words', () => {
  it('is CLEAR TO END OF SET on no plate where both mechanisms are in hand', () => {
    expect(stateWords(contextFixture(clearAssessment()))).toMatchObject({
      level: 'none',
      headline: ['CLEAR TO END OF SET'],
    });
  });

  it('is never CLEAR where the station has a nip that nobody watches', () => {
    const base = clearAssessment();
    const blind = {
      ...base,
      nip: { ...base.nip, watched: false, because: { code: 'x', params: {}, text: 'no nip load' } },
    };
    expect(stateWords(contextFixture(blind))).toMatchObject({
      level: 'unwatched',
      headline: ['NOT WATCHED'],
      sub: 'no nip load',
    });
  });

  it('may be CLEAR without a watched nip where no nip touches the roll', () => {
    const base = clearAssessment();
    const noNip = { ...base, nip: { ...base.nip, watched: false } };
    expect(stateWords(contextFixture(noNip, {}, { nip: null })).headline).toEqual(['CLEAR TO END OF SET']);
  });

  it('tells the diameter from which wraps are free, with the priority of the alarm behind it', () => {
    const words = stateWords(contextFixture(freeFromAssessment(), {}, { alarms: [alarmFixture()] }));
    expect(words).toMatchObject({
      level: 'medium',
      priority: 'medium',
      headline: ['WRAPS FREE TO MOVE', 'FROM 830 mm'],
    });
    expect(stateSentence(words)).toBe('wraps free to move from 830 mm');
  });

  it('tells it in inches where the plant prefers US units', () => {
    expect(stateWords(contextFixture(freeFromAssessment(), { system: 'us' })).headline[1]).toBe(
      'FROM 32.7 in',
    );
  });

  it('bears no hue where no alarm stands behind it', () => {
    expect(stateWords(contextFixture(freeFromAssessment()))).toMatchObject({
      level: 'plain',
      priority: null,
    });
  });

  it('takes no priority from an alarm about a signal or from one that has cleared', () => {
    const alarms = [
      alarmFixture({ mechanism: 'signal', priority: 'high' }),
      alarmFixture({ state: 'RTNUN', priority: 'high' }),
    ];
    expect(stateWords(contextFixture(freeFromAssessment(), {}, { alarms })).level).toBe('plain');
  });

  it('says NOW when the boundary is reached', () => {
    const alarms = [alarmFixture({ priority: 'high', stage: 'reached' })];
    expect(stateWords(contextFixture(freeNowAssessment(), {}, { alarms }))).toMatchObject({
      level: 'high',
      headline: ['WRAPS FREE TO MOVE', 'NOW'],
    });
  });

  it('is NOT WATCHED with the reason, without saying it twice', () => {
    expect(stateWords(contextFixture(notWatchedAssessment()))).toMatchObject({
      headline: ['NOT WATCHED'],
      sub: 'no diameter since 02:31',
    });
  });

  it('is TRIAL with the reason', () => {
    expect(stateWords(contextFixture(trialAssessment()))).toMatchObject({
      level: 'trial',
      headline: ['TRIAL'],
      sub: 'no rated roll has confirmed Film 12; nobody is called',
      priority: null,
    });
  });

  it('is SET CHANGE between two sets and NO ROLL otherwise', () => {
    expect(stateWords(contextFixture(noRollAssessment()))).toMatchObject({
      level: 'none',
      headline: ['SET CHANGE'],
      sub: null,
      short: 'set change',
    });
    const base = noRollAssessment();
    const stopped = {
      ...base,
      state: { word: 'no-roll', because: { code: 'no-roll', params: {}, text: 'no roll since 13:50' } },
    } as const;
    expect(stateWords(contextFixture(stopped))).toMatchObject({
      headline: ['NO ROLL'],
      sub: 'since 13:50',
      short: 'no roll',
    });
  });

  it('is STOPPED while a roll stands', () => {
    const stands = {
      ...clearAssessment(),
      state: { word: 'no-roll', because: { code: 'stopped', params: {}, text: 'stopped at 14:28:00 UTC' } },
    } as const;
    expect(stateWords(contextFixture(stands))).toMatchObject({
      level: 'none',
      headline: ['STOPPED'],
      short: 'stopped',
    });
  });

  it('forgets the last good state when the data stop or the connection is lost', () => {
    const stale = stateWords(
      contextFixture(clearAssessment(), { liveness: { kind: 'no-data', sinceMs: fixtureNowMs - 120_000 } }),
    );
    expect(stale).toMatchObject({
      level: 'unwatched',
      headline: ['NOT WATCHED'],
      sub: 'no data since 14:26',
    });
    const lost = stateWords(
      contextFixture(freeNowAssessment(), {
        liveness: { kind: 'no-connection', sinceMs: fixtureNowMs - 360_000 },
      }),
    );
    expect(lost).toMatchObject({
      level: 'unwatched',
      headline: ['NOT WATCHED'],
      sub: 'connection lost since 14:22',
    });
  });

  it('says so where a station has not been assessed yet', () => {
    expect(stateWords(contextFixture(null, { liveness: { kind: 'no-data', sinceMs: null } })).sub).toBe(
      'no data yet',
    );
  });
});
