import { describe, expect, it } from 'vitest';
import { numberWords, quantityWords, shownPerSi } from './quantity-words.js';

describe('a quantity in words', () => {
  it('stands in the plant’s preferred unit', () => {
    expect(quantityWords('speed', 10, 'metric')).toBe('600 m/min');
    expect(quantityWords('diameter', 0.83, 'us')).toBe('32.7 in');
  });

  it('is a dash where it is no number', () => {
    expect(numberWords('diameter', Number.NaN, 'metric')).toBe('–');
    expect(quantityWords('speed', Number.POSITIVE_INFINITY, 'metric')).toBe('– m/min');
  });

  it('scales drawings by the same factor', () => {
    // 1 m/s = 60 m/min; 1 N/m = 0.001 kN/m; 1 m = 39.3701 in (international inch, 25.4 mm exactly).
    expect(shownPerSi('speed', 'metric')).toBeCloseTo(60, 9);
    expect(shownPerSi('nipLoad', 'metric')).toBeCloseTo(0.001, 12);
    expect(shownPerSi('diameter', 'us')).toBeCloseTo(1 / 0.0254, 7);
  });
});
