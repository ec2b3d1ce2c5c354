import { describe, expect, it } from 'vitest';
import { backOffMs } from './back-off.js';

describe('the back-off', () => {
  it('starts at one second and doubles up to a minute', () => {
    const longest = Array.from({ length: 9 }, (_, index) => backOffMs(index + 1, 1));
    expect(longest).toEqual([1000, 2000, 4000, 8000, 16_000, 32_000, 60_000, 60_000, 60_000]);
    expect(backOffMs(5000, 1)).toBe(60_000);
  });

  it('leaves the upper half to chance', () => {
    expect([backOffMs(3, 0), backOffMs(3, 0.5)]).toEqual([2000, 3000]);
  });
});
