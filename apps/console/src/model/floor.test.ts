import { describe, expect, it } from 'vitest';
import { contextFixture } from '../fixtures/context-fixture.js';
import {
  alarmFixture,
  clearAssessment,
  fixtureNowMs,
  freeFromAssessment,
  freeNowAssessment,
  liftOffAssessment,
  notWatchedAssessment,
  trialAssessment,
  stationFixture,
  winderFixture,
} from '../fixtures/station-fixtures.js';
import { actNext } from './act-next.js';
import { floorRow } from './floor-words.js';
import { marksOf } from './marks.js';

const row = (
  mark: string,
  assessment: Parameters<typeof contextFixture>[0],
  alarms: Parameters<typeof alarmFixture>[0][] = [],
) => floorRow(contextFixture(assessment, { mark }, { alarms: alarms.map((alarm) => alarmFixture(alarm)) }));

describe('a station as a row among all winders', () => {
  it('tells state, time and cause', () => {
    const medium = row('5', freeFromAssessment(), [{}]);
    expect(medium).toMatchObject({
      words: 'FREE FROM 830 mm',
      actWords: '14:36',
      endWords: '',
      why: 'medium: air',
      href: '/winders/w5/a',
    });
    expect(medium.sentence).toBe('Winder 5: wraps free to move from 830 mm, act by 14:36, medium priority');
  });

  it('keeps the end of the set where nobody has to act', () => {
    expect(row('1', clearAssessment())).toMatchObject({
      words: 'clear to end',
      actWords: '',
      endWords: 'ends 14:47',
      why: '',
    });
  });

  it('gives the reason where nobody watches', () => {
    expect(row('7', notWatchedAssessment())).toMatchObject({
      level: 'unwatched',
      words: 'NOT WATCHED',
      why: 'no diameter since 02:31',
    });
  });
});

describe('who acts next', () => {
  it('is in order of time, now first; then who is not watched; low, trial and clear are left out', () => {
    const soon = {
      ...freeFromAssessment(),
      forecast: { ...freeFromAssessment().forecast, actBy: { diameterM: 0.7, atMs: fixtureNowMs + 60_000 } },
    };
    const rows = [
      row('1', clearAssessment()),
      row('2', freeFromAssessment(), [{ priority: 'medium' }]),
      row('3', soon, [{ priority: 'high' }]),
      row('4', freeNowAssessment(), [{ priority: 'high' }]),
      row('5', freeFromAssessment(), [{ priority: 'low' }]),
      row('6', trialAssessment()),
      row('7', notWatchedAssessment()),
      row('8', liftOffAssessment(), [{ priority: 'high', mechanism: 'nip' }]),
    ];
    const next = actNext(rows);
    expect(next.act.map((entry) => entry.mark)).toEqual(['4', '8', '3', '2']);
    expect(next.notWatched.map((entry) => entry.mark)).toEqual(['7']);
    expect(rows.map((entry) => entry.mark)).toEqual(['1', '2', '3', '4', '5', '6', '7', '8']);
  });
});

describe('the marks of stations', () => {
  const winders = (...names: string[]) =>
    names.map((name, at) => winderFixture(`w${at}`, name, [stationFixture(null)]));
  const markList = (...names: string[]) => [...marksOf(winders(...names)).values()];

  it('are the last words where these tell the winders apart', () => {
    expect(markList('Winder 1', 'Winder 2', 'Winder 12')).toEqual(['1', '2', '12']);
  });

  it('are the whole names where they do not', () => {
    expect(markList('Line 1 Winder 1', 'Line 2 Winder 1')).toEqual(['Line 1 Winder 1', 'Line 2 Winder 1']);
    expect(markList('Film slitter-rewinder', 'Winder 2')).toEqual(['Film slitter-rewinder', 'Winder 2']);
  });

  it('are the first and the last word where these are short and differ', () => {
    expect(markList('Film slitter-rewinder 1', 'Paper winder 1')).toEqual(['Film 1', 'Paper 1']);
  });

  it('name the station where a winder has several', () => {
    const two = winderFixture('w', 'Winder 2', [
      stationFixture(null, { id: 'a', name: 'Station A' }),
      stationFixture(null, { id: 'b', name: 'Station B' }),
    ]);
    expect([...marksOf([two]).entries()]).toEqual([
      ['w/a', '2 A'],
      ['w/b', '2 B'],
    ]);
  });
});
