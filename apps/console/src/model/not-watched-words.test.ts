import { reason } from '@edge-margin/units';
import { describe, expect, it } from 'vitest';
import { contextFixture } from '../fixtures/context-fixture.js';
import { clearAssessment } from '../fixtures/station-fixtures.js';
import { notWatchedAnywhere, notWatchedHere } from './not-watched-words.js';

describe('what nobody watches', () => {
  const all = contextFixture(clearAssessment());
  const less = contextFixture({ ...clearAssessment(), notWatched: [reason('upstream', 'upstream')] });

  it('is named for a station', () => {
    expect(notWatchedHere(all)).toBe('slitter, upstream, splices');
  });

  it('is named for all only where it holds for each', () => {
    expect(notWatchedAnywhere([all, less, contextFixture(null)])).toBe('upstream');
    expect(notWatchedAnywhere([])).toBe('');
  });
});
