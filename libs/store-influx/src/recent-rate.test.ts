import { describe, expect, it } from 'vitest';
import { createRecentRate } from './recent-rate.js';

describe('the recent rate', () => {
  it('counts the last ten seconds and forgets what is older', () => {
    const rate = createRecentRate();
    expect(rate.perS(0)).toBe(0);
    rate.add(1000, 1000);
    rate.add(3000, 6000);
    expect(rate.perS(10_000)).toBe(400);
    expect(rate.perS(11_000)).toBe(300);
    expect(rate.perS(16_000)).toBe(0);
  });
});
