import { describe, expect, it } from 'vitest';
import { silenceGap } from './silence-gap.js';

const silent = (filter: string, sinceMs: number) => ({ filter, sinceMs, periodS: 1, hasCome: true });

describe('the gap that a silence leaves', () => {
  it('is none where all is heard', () => {
    expect(silenceGap([], [], 5)).toBeUndefined();
  });

  it('reaches from the last message up to now, and is one as long as it lasts', () => {
    const begun = silenceGap([], [silent('a', 10)], 30);
    const gone = silenceGap([silent('a', 10)], [silent('a', 10), silent('b', 12)], 40);
    expect(begun).toMatchObject({ id: 'silence@10', what: 'messages', fromMs: 10, toMs: 30, count: null });
    expect(gone).toMatchObject({ id: 'silence@10', fromMs: 10, toMs: 40 });
    expect(gone?.because.text).toContain('a, b');
  });

  it('is told a last time when the sources are heard again', () => {
    expect(silenceGap([silent('a', 10)], [], 50)).toMatchObject({ id: 'silence@10', toMs: 50 });
  });
});
