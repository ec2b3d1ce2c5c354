import { reason } from '@edge-margin/units';
import { describe, expect, it } from 'vitest';
import { reasonWords } from './reason-words.js';

describe('a reason with an instant', () => {
  it('is told in the reader’s own time', () => {
    const because = reason('no-reading-since', 'no diameter since 02:31:05 UTC', { sinceMs: 5 });
    expect(reasonWords(because, () => '03:31')).toBe('no diameter since 03:31');
  });

  it('stays as it is without one', () => {
    expect(reasonWords(reason('x', 'no roll since 02:31:05 UTC'), () => '03:31')).toBe(
      'no roll since 02:31:05 UTC',
    );
    expect(reasonWords(reason('x', 'no roll since 02:31:05 UTC', { sinceMs: Number.NaN }), () => '')).toBe(
      'no roll since 02:31:05 UTC',
    );
  });
});
