import { describe, expect, it } from 'vitest';
import { delayHistogram } from './delay-histogram.js';

describe('a histogram of delays', () => {
  it('counts each delay in every bucket whose bound it does not exceed', () => {
    const delays = delayHistogram([0.1, 1]);
    for (const delay of [0, 0.1, 0.2, 1, 5]) delays.observe(delay);
    expect(delays.cumulative()).toEqual([2, 4, 5]);
    expect(delays.sumS()).toBeCloseTo(6.3);
  });

  it('takes what comes from the future for no delay', () => {
    const delays = delayHistogram([1]);
    delays.observe(-3);
    expect(delays.cumulative()).toEqual([1, 1]);
    expect(delays.sumS()).toBe(0);
  });

  it('tells the quantile of late, and forgets what is two spans old', () => {
    const delays = delayHistogram([0.1, 1, 10]);
    expect(delays.recentQuantile(0.5)).toBeNull();
    for (let n = 0; n < 99; n += 1) delays.observe(0.05);
    delays.observe(5);
    expect(delays.recentQuantile(0.5)).toBe(0.1);
    expect(delays.recentQuantile(0.999)).toBe(10);
    delays.beginSpan();
    delays.observe(100);
    expect(delays.recentQuantile(1)).toBe(Infinity);
    delays.beginSpan();
    delays.observe(0.5);
    delays.beginSpan();
    expect(delays.recentQuantile(0.5)).toBe(1);
  });
});
