import { describe, expect, it } from 'vitest';
import { contextFixture } from '../fixtures/context-fixture.js';
import {
  clearAssessment,
  fixtureNowMs,
  freeFromAssessment,
  freeNowAssessment,
  noRollAssessment,
  trialAssessment,
} from '../fixtures/station-fixtures.js';
import { actBy, actByWords, setEndWords, shortSetEnd } from './when-words.js';

describe('act by', () => {
  it('is the time of the forecast while the boundary lies ahead', () => {
    expect(actByWords(contextFixture(freeFromAssessment()))).toBe('ACT BY 14:36');
  });

  it('is told in full where the time of day would read as the present one', () => {
    const assessment = freeFromAssessment();
    const byMs = assessment.forecast.actBy?.atMs ?? Number.NaN;
    const words = (aheadMs: number) => actByWords(contextFixture(assessment, { nowMs: byMs - aheadMs }));
    expect(words(60_000)).toBe('ACT BY 14:36');
    expect(words(59_000)).toBe('ACT IN < 1 min');
    expect(words(1)).toBe('ACT IN < 1 min');
    expect(words(0)).toBe('ACT NOW');
  });

  it('is now once that time has passed, and when the boundary is reached', () => {
    expect(actByWords(contextFixture(freeFromAssessment(), { nowMs: fixtureNowMs + 9 * 60_000 }))).toBe(
      'ACT NOW',
    );
    expect(actByWords(contextFixture(freeNowAssessment()))).toBe('ACT NOW');
  });

  it('is empty where nobody has to act or nobody can know', () => {
    expect(actByWords(contextFixture(clearAssessment()))).toBe('');
    expect(
      actByWords(contextFixture(freeNowAssessment(), { liveness: { kind: 'no-data', sinceMs: 1 } })),
    ).toBe('');
    expect(actBy(contextFixture(null))).toBeNull();
  });

  it('is never told for a trial, even where the forecast holds one', () => {
    const trial = { ...trialAssessment(), forecast: freeFromAssessment().forecast };
    expect(actBy(contextFixture(trial))).toBeNull();
  });
});

describe('the end of the set', () => {
  it('is told as a time of day', () => {
    expect(setEndWords(contextFixture(clearAssessment()))).toBe('set ends 14:47');
    expect(shortSetEnd(contextFixture(clearAssessment()))).toBe('ends 14:47');
  });

  it('goes with the word that a trial has no act by', () => {
    expect(setEndWords(contextFixture(trialAssessment()))).toBe('set ends 14:47; no act by in a trial');
  });

  it('is not known without data, without a connection, without a roll', () => {
    expect(
      setEndWords(contextFixture(clearAssessment(), { liveness: { kind: 'no-data', sinceMs: 1 } })),
    ).toBe('set end not known');
    const lost = { kind: 'no-connection', sinceMs: fixtureNowMs - 360_000 } as const;
    expect(setEndWords(contextFixture(clearAssessment(), { liveness: lost }))).toBe(
      'this page knows nothing after 14:22',
    );
    expect(setEndWords(contextFixture(noRollAssessment()))).toBe('no set is being wound');
    expect(shortSetEnd(contextFixture(noRollAssessment()))).toBe('');
  });
});
