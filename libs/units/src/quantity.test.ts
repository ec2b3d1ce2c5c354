import { describe, expect, it } from 'vitest';
import { known, unknown, valueOf } from './quantity.js';
import { reason } from './reason.js';

describe('a quantity', () => {
  it('has a finite value and an uncertainty that is 0 unless given', () => {
    expect(known(3)).toEqual({ kind: 'known', value: 3, uncertainty: 0 });
    expect(known(3, 0.1)).toEqual({ kind: 'known', value: 3, uncertainty: 0.1 });
  });

  it('refuses NaN, infinity and a negative uncertainty, naming the parameter', () => {
    expect(() => known(Number.NaN)).toThrow(/^value: /);
    expect(() => known(Infinity)).toThrow(RangeError);
    expect(() => known(1, -1)).toThrow(/^uncertainty: /);
    expect(() => known(1, Number.NaN)).toThrow(RangeError);
  });

  it('that is not known carries its reason and has no value', () => {
    const because = reason('no-diameter', 'no diameter since 02:31', { since: '02:31' });
    expect(unknown(because)).toEqual({ kind: 'unknown', because });
    expect(valueOf(unknown(because))).toBeUndefined();
    expect(valueOf(known(0))).toBe(0);
  });
});
