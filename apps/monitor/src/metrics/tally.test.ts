import type { Effect } from '@edge-margin/monitoring';
import type { JournalRow } from '@edge-margin/telemetry';
import { describe, expect, it } from 'vitest';
import { countRow, createTally } from './tally.js';

const message = { kind: 'message' } as JournalRow;
const samplesOf = (measurement: 'reading' | 'assessment'): Effect => ({
  kind: 'samples',
  samples: [{ measurement, winderId: 'w', stationId: 'a', end: 'both', field: 'speed', atMs: 1, value: 1 }],
});
const notUsed = { kind: 'not-used' } as Effect;
const assessment = { kind: 'assessment', assessment: { atMs: 1000 } } as Effect;

describe('counting rows', () => {
  it('counts a message once, by what became of it', () => {
    const tally = createTally();
    const count = (...effects: Effect[]): void => countRow(tally, { row: message, effects }, 3000);
    count(samplesOf('reading'));
    count(samplesOf('reading'), notUsed, notUsed);
    count(notUsed, samplesOf('assessment'));
    count();
    expect(tally.messages).toEqual({ used: 1, partly: 1, 'not-used': 1, 'nothing-asked': 1 });
    expect(tally.rows.message).toBe(4);
  });

  it('measures from the time of an assessment, whatever row brought it about', () => {
    const tally = createTally();
    countRow(tally, { row: { kind: 'tick' } as JournalRow, effects: [assessment] }, 3500);
    expect(tally.assessmentDelay.sumS()).toBe(2.5);
    expect(tally.messages).toEqual({ used: 0, partly: 0, 'not-used': 0, 'nothing-asked': 0 });
    expect(tally.rows.tick).toBe(1);
  });
});
