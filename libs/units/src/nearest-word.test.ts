import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { nearestWord } from './nearest-word.js';

describe('the nearest word', () => {
  it.each([
    ['speed', ['tension', 'speed'], 'speed'],
    ['sped', ['tension', 'speed'], 'speed'],
    ['seped', ['tension', 'speed'], 'speed'],
    ['NIPLOAD', ['nipLoad', 'nipLoadSwing'], 'nipLoad'],
    ['nipLoadd', ['nipLoadSwing', 'nipLoad'], 'nipLoad'],
    ['coverModulus', ['coverModulusPa', 'coverThicknessM'], 'coverModulusPa'],
    ['xyz', ['speed', 'tension'], undefined],
    ['a', [], undefined],
  ])('of %j among %j is %j', (word, candidates, expected) => {
    expect(nearestWord(word, candidates)).toBe(expected);
  });

  it('of a word with one letter changed, left out, doubled or swapped is that word', () => {
    const words = [
      'rollerDiameterM',
      'coverModulusPa',
      'effectiveMassPerEndKg',
      'expectedPeriodS',
      'setEndDiameterM',
    ];
    fc.assert(
      fc.property(
        fc.constantFrom(...words),
        fc.nat(),
        fc.constantFrom('change', 'drop', 'double', 'swap'),
        (word, n, slip) => {
          const i = n % (word.length - 1);
          const [before, here, next, after] = [
            word.slice(0, i),
            word.charAt(i),
            word.charAt(i + 1),
            word.slice(i + 2),
          ];
          const mistyped = {
            change: `${before}#${next}${after}`,
            drop: `${before}${next}${after}`,
            double: `${before}${here}${here}${next}${after}`,
            swap: `${before}${next}${here}${after}`,
          }[slip];
          expect(nearestWord(mistyped, words)).toBe(word);
        },
      ),
    );
  });
});
