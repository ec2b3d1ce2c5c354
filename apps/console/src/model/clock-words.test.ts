import { describe, expect, it } from 'vitest';
import { dayHourMinute, hourMinute } from './clock-words.js';

const at = (iso: string): number => Date.parse(iso);

describe('clock words', () => {
  it('tell hours and minutes, never seconds', () => {
    expect(hourMinute('UTC')(at('2026-03-04T14:36:59Z'))).toBe('14:36');
  });

  it('write midnight as 00:00, not 24:00', () => {
    expect(hourMinute('UTC')(at('2026-03-04T00:00:00Z'))).toBe('00:00');
  });

  it('name the day where it is not the day of now', () => {
    const words = dayHourMinute(at('2026-03-05T01:00:00Z'), 'UTC');
    expect(words(at('2026-03-05T00:10:00Z'))).toBe('00:10');
    expect(words(at('2026-03-04T23:50:00Z'))).toBe('4 Mar 23:50');
  });

  it('say nothing for an instant that is no number', () => {
    for (const bad of [Number.NaN, Number.POSITIVE_INFINITY, 1e300]) expect(hourMinute('UTC')(bad)).toBe('');
  });
});
