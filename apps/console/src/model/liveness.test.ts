import { describe, expect, it } from 'vitest';
import { clearAssessment, fixtureNowMs } from '../fixtures/station-fixtures.js';
import { type Heard, livenessOf, livenessWords } from './liveness.js';
import { hourMinute } from './clock-words.js';

const live = { kind: 'live' } as const;

const heard = (over: Partial<Heard> = {}): Heard => ({
  connection: live,
  assessment: clearAssessment(),
  receivedAtMs: fixtureNowMs,
  serviceNowMs: fixtureNowMs,
  ...over,
});

describe('how far a page may be believed', () => {
  it('is live while the assessment is no older than 10 s of service time', () => {
    expect(livenessOf(heard({ serviceNowMs: fixtureNowMs + 10_000 }))).toEqual({ kind: 'live' });
    expect(livenessOf(heard({ serviceNowMs: fixtureNowMs + 10_001 }))).toEqual({
      kind: 'no-data',
      sinceMs: fixtureNowMs,
    });
  });

  it('is not live where the source’s clock runs ahead and nothing comes any more', () => {
    const ahead = clearAssessment({ atMs: fixtureNowMs + 3_600_000 });
    expect(livenessOf(heard({ assessment: ahead, serviceNowMs: fixtureNowMs + 5_000 })).kind).toBe('live');
    expect(livenessOf(heard({ assessment: ahead, serviceNowMs: fixtureNowMs + 11_000 }))).toEqual({
      kind: 'no-data',
      sinceMs: fixtureNowMs,
    });
  });

  it('is without data where nothing has come or the service’s time is not known', () => {
    expect(livenessOf(heard({ assessment: null }))).toEqual({ kind: 'no-data', sinceMs: null });
    expect(livenessOf(heard({ serviceNowMs: null })).kind).toBe('no-data');
  });

  it('is without connection however fresh the last assessment', () => {
    expect(livenessOf(heard({ connection: { kind: 'lost', sinceMs: 5 } }))).toEqual({
      kind: 'no-connection',
      sinceMs: 5,
    });
  });

  it('is told in words', () => {
    const clock = hourMinute('UTC');
    expect(livenessWords({ kind: 'live' }, clock)).toBe('data live');
    expect(livenessWords({ kind: 'no-data', sinceMs: fixtureNowMs }, clock)).toBe('no data since 14:28');
    expect(livenessWords({ kind: 'no-connection', sinceMs: fixtureNowMs }, clock)).toBe(
      'connection to the service lost since 14:28',
    );
    expect(livenessWords({ kind: 'no-connection', sinceMs: null }, clock)).toBe(
      'the service cannot be reached',
    );
  });
});
