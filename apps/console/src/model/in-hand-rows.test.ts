import { describe, expect, it } from 'vitest';
import { contextFixture } from '../fixtures/context-fixture.js';
import {
  clearAssessment,
  liftOffAssessment,
  notWatchedAssessment,
  trialAssessment,
} from '../fixtures/station-fixtures.js';
import { inHandRows, shareWords } from './in-hand-rows.js';

const row = (at: 0 | 1, context: Parameters<typeof inHandRows>[0]) => inHandRows(context)[at];

describe('what is in hand', () => {
  it('is told for both mechanisms with its uncertainty', () => {
    expect(
      inHandRows(contextFixture(clearAssessment())).map(({ name, words, note }) => [name, words, note]),
    ).toEqual([
      ['air', '33 % ± 9', ''],
      ['nip', '58 % ± 15', ''],
    ]);
  });

  it('is negative where it is used up, and never minus zero', () => {
    expect(row(1, contextFixture(liftOffAssessment()))?.words).toBe('−30 % ± 10');
    expect(shareWords(-0.001, 0)).toBe('0 %');
    expect(shareWords(-1.4, 0)).toBe('−140 %');
  });

  it('is called uncalibrated in a trial', () => {
    expect(row(0, contextFixture(trialAssessment()))?.note).toBe('uncalibrated');
  });

  it('does not repeat what the head says, and tells no data, not watched and not applicable apart', () => {
    expect(row(0, contextFixture(notWatchedAssessment()))).toMatchObject({ kind: 'no-data', note: '' });
    const elsewhere = { ...notWatchedAssessment(), state: clearAssessment().state };
    expect(row(0, contextFixture(elsewhere))).toMatchObject({
      kind: 'no-data',
      note: 'no diameter since 02:31',
    });
    const base = clearAssessment();
    expect(row(1, contextFixture({ ...base, nip: { ...base.nip, watched: false } }))?.kind).toBe(
      'not-watched',
    );
    expect(row(1, contextFixture(base, {}, { nip: null }))?.words).toBe('no nip on this roll');
    expect(row(0, contextFixture({ ...base, air: { ...base.air, applies: false } }))).toMatchObject({
      kind: 'none',
      words: 'no air problem',
    });
  });

  it('is not known on stale data', () => {
    const stale = contextFixture(clearAssessment(), { liveness: { kind: 'no-data', sinceMs: 1 } });
    expect(inHandRows(stale).map(({ kind }) => kind)).toEqual(['no-data', 'no-data']);
  });
});
