import { describe, expect, it } from 'vitest';
import { stepSequence } from './sequence.js';

/** Plays numbers, `!` marking those the broker says it may have sent before; names what each was. */
function kinds(numbers: string): string {
  let last: number | undefined;
  const seen = numbers.split(' ').map((word) => {
    const step = stepSequence(last, Number.parseInt(word, 10), word.endsWith('!'));
    last = step.last;
    return step.kind === 'gap' ? `gap of ${step.count}` : step.kind;
  });
  return seen.join(', ');
}

describe("a message's number", () => {
  it.each([
    ['that counts up is in order', '7 8 9', 'in-order, in-order, in-order'],
    ['that leaves some out tells how many', '7 8 12 13', 'in-order, in-order, gap of 3, in-order'],
    ['that comes again is a duplicate', '7 8 8 9', 'in-order, in-order, duplicate, in-order'],
    [
      'lower and marked by the broker is a duplicate',
      '3 4 2! 3! 4! 5',
      'in-order, in-order, duplicate, duplicate, duplicate, in-order',
    ],
    [
      'close behind is a duplicate without the mark too',
      '5000 5001 4950 4951 5002',
      'in-order, in-order, duplicate, duplicate, in-order',
    ],
    ['of a counter that starts anew is no gap', '5000 0 1 2', 'in-order, restart, in-order, in-order'],
    [
      'of a counter that starts anew at a small number is no gap',
      '5000 17 18',
      'in-order, restart, in-order',
    ],
    ['of a counter that is full is no gap', '254 255 0 1', 'in-order, in-order, restart, in-order'],
    ['lost after a new start is a gap', '5000 0 3', 'in-order, restart, gap of 2'],
    ['zero twice is a duplicate', '0 0 1', 'in-order, duplicate, in-order'],
  ])('%s', (_, numbers, expected) => {
    expect(kinds(numbers)).toBe(expected);
  });

  it('tells which number was expected', () => {
    expect(stepSequence(41, 45, false)).toEqual({ kind: 'gap', last: 45, expected: 42, count: 3 });
  });
});
