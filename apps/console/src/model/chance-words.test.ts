import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { chanceTitle, chanceWords, spokenChance } from './chance-words.js';

describe('the chance in words', () => {
  it.each([
    [0, '< 1 %'],
    [0.0099, '< 1 %'],
    [0.01, '1 %'],
    [0.04, '4 %'],
    [0.5, '50 %'],
    [0.95, '95 %'],
    [0.951, '> 95 %'],
    [1, '> 95 %'],
    [1.2, '> 95 %'],
    [-3, '< 1 %'],
    [Number.NaN, 'not known'],
  ])('%d is told as %s', (chance, words) => {
    expect(chanceWords(chance)).toBe(words);
  });

  it('never claims 100 % or 0 %, whatever the number', () => {
    fc.assert(fc.property(fc.double(), (chance) => !['100 %', '0 %', '-0 %'].includes(chanceWords(chance))));
  });

  it('is spoken without signs', () => {
    expect(spokenChance(0.99)).toBe('more than 95 percent');
    expect(spokenChance(0.001)).toBe('less than 1 percent');
  });

  it('speaks of a rough edge only where the meaning is a rough edge', () => {
    expect(chanceTitle('rough-edge')).toContain('rough');
    expect(chanceTitle('wraps-free-to-move')).not.toContain('rough');
  });
});
