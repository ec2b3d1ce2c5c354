import { describe, expect, it } from 'vitest';
import { wordOf } from './one-time-word.js';

describe('the one-time word of an address', () => {
  it.each([
    ['#word=abc', 'abc'],
    ['#word=a%2Bb-_c', 'a+b-_c'],
    ['#other=1&word=abc', 'abc'],
    ['', ''],
    ['#', ''],
    ['#abc', ''],
  ])('of %s is %s', (fragment, word) => {
    expect(wordOf(fragment)).toBe(word);
  });
});
