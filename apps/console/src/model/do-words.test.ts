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
} from '../fixtures/station-fixtures.js';
import { doWords } from './do-words.js';

describe('what to do', () => {
  it('is one change: present, new, by which diameter; with what it does elsewhere', () => {
    const words = doWords(contextFixture(freeFromAssessment()));
    expect(words.change).toEqual({
      setPoint: 'Speed',
      from: '620',
      to: '560',
      unit: 'm/min',
      by: 'by 800 mm',
    });
    expect(words).toMatchObject({ stopRule: null, sentence: null, notes: ['the set ends 2 min later'] });
  });

  it('speaks of the nip load in its own unit', () => {
    const base = freeFromAssessment();
    const nip = { ...base, remedy: { ...base.remedy!, setPoint: 'nipLoad', from: 3000, to: 3400 } } as const;
    expect(doWords(contextFixture(nip)).change).toMatchObject({
      setPoint: 'Nip load',
      from: '3.00',
      to: '3.40',
      unit: 'kN/m',
    });
    expect(doWords(contextFixture(nip, { system: 'us' })).change).toMatchObject({
      from: '17.1',
      to: '19.4',
      unit: 'pli',
    });
  });

  it('is due now when the wraps are free now or the time has passed', () => {
    expect(doWords(contextFixture(freeNowAssessment())).change?.by).toBe('now');
    expect(
      doWords(contextFixture(freeFromAssessment(), { nowMs: fixtureNowMs + 3_600_000 })).change?.by,
    ).toBe('now');
  });

  it('puts the site’s stop rule before the remedy when the nip lifts off', () => {
    const words = doWords(contextFixture(liftOffAssessment()));
    expect(words.stopRule).toBe('Site stop rule first.');
    expect(words.change?.to).toBe('540');
    expect(words.notes[0]).toContain('lifted off');
  });

  it('keeps the stop rule where no remedy is known, and in a trial', () => {
    const lift = liftOffAssessment();
    expect(doWords(contextFixture({ ...lift, remedy: null })).stopRule).toBe('Site stop rule first.');
    expect(doWords(contextFixture({ ...trialAssessment(), nip: lift.nip })).stopRule).toBe(
      'Site stop rule first.',
    );
  });

  it('falls back to the alarm’s response, then to a plain sentence', () => {
    const none = { ...freeNowAssessment(), remedy: null };
    expect(
      doWords(contextFixture(none, {}, { alarms: [alarmFixture({ response: 'Mark the set.' })] })).sentence,
    ).toBe('Mark the set.');
    expect(doWords(contextFixture(none)).sentence).toContain('No single change');
  });

  it('says for a bounce beyond its limit what moves it away, before its alarm has waited out its delay', () => {
    const free = freeNowAssessment();
    const bouncing = {
      ...free,
      remedy: null,
      nip: { ...free.nip, inHandRatio: { kind: 'known' as const, value: -0.1, uncertainty: 0.02 } },
    };
    const words = doWords(contextFixture(bouncing));
    expect(words.sentence).toBe('Move the speed a few per cent');
    expect(words.notes[0]).toMatch(/Rated limits and site rules first/);
  });

  it('is nothing where the roll is clear, and looking at the edge where nobody watches', () => {
    expect(doWords(contextFixture(clearAssessment())).sentence).toBe('nothing');
    expect(doWords(contextFixture(notWatchedAssessment())).sentence).toBe(
      'Check edges by eye. Call instruments.',
    );
    const base = notWatchedAssessment();
    const grade = {
      ...base,
      state: { word: 'not-watched', because: { code: 'unknown-grade', params: {}, text: 'x' } },
    } as const;
    expect(doWords(contextFixture(grade)).sentence).toBe('Check edges by eye. Call the process engineer.');
    expect(
      doWords(contextFixture(freeNowAssessment(), { liveness: { kind: 'no-connection', sinceMs: 1 } })),
    ).toMatchObject({ change: null, sentence: 'Check edges by eye, try another screen' });
  });

  it('proposes no change in a trial', () => {
    expect(
      doWords(contextFixture({ ...trialAssessment(), remedy: freeFromAssessment().remedy })).change,
    ).toBeNull();
  });

  it('shows a value that is no number as a dash, not as a crash', () => {
    const base = freeFromAssessment();
    const bad = { ...base, remedy: { ...base.remedy!, to: Number.NaN } };
    expect(doWords(contextFixture(bad)).change?.to).toBe('–');
  });
});
