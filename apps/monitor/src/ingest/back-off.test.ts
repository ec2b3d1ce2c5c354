import { describe, expect, it } from 'vitest';
import { backOffMs } from './back-off.js';

describe('the pause before connecting again', () => {
  it('doubles from 1 s to 30 s', () => {
    expect([0, 1, 2, 3, 4, 5, 6, 5000].map((failures) => backOffMs(failures, 1))).toEqual([
      1000, 2000, 4000, 8000, 16_000, 30_000, 30_000, 30_000,
    ]);
  });

  it('leaves out up to half of it at random', () => {
    expect(backOffMs(3, 0)).toBe(4000);
    expect(backOffMs(3, 0.5)).toBe(6000);
  });
});
