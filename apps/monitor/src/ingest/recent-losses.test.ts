import { reason } from '@edge-margin/units';
import { describe, expect, it } from 'vitest';
import { recentLosses } from './recent-losses.js';

const lost = (atMs: number, text: string) =>
  ({ code: 'messages-lost', fromMs: atMs, atMs, because: reason('messages-lost', text) }) as const;

describe('losses', () => {
  it('are told for ten minutes, the newest with how many there were', () => {
    const losses = recentLosses();
    losses.add(lost(0, 'first'));
    losses.add(lost(300_000, 'second'));
    expect(losses.now(600_000)).toMatchObject([{ because: { text: 'second' }, times: 2 }]);
    expect(losses.now(600_001)).toMatchObject([{ because: { text: 'second' }, times: 1 }]);
    expect(losses.now(900_001)).toEqual([]);
  });

  it('of a stream that loses without end take bounded room', () => {
    const losses = recentLosses();
    for (let n = 0; n < 5000; n += 1) losses.add(lost(n, String(n)));
    expect(losses.now(5000)).toMatchObject([{ because: { text: '4999' }, times: 1000 }]);
  });
});
