import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  diameterAfterLength,
  diameterAfterWraps,
  lengthToDiameter,
  meanLayerThickness,
  wrapsToDiameter,
} from './build-up.js';

/** Own arithmetic, rounded to six figures, hence 3e-6. */
const table = [
  { startDiameterM: 0.076, layerThicknessM: 12e-6, lengthM: 6000, diameterM: 0.312169, wraps: 9840.36 },
  { startDiameterM: 0.1, layerThicknessM: 60e-6, lengthM: 10000, diameterM: 0.879741, wraps: 6497.84 },
  { startDiameterM: 0.096, layerThicknessM: 6.5e-6, lengthM: 3000, diameterM: 0.184511, wraps: 6808.51 },
];
const roundedTable = 3e-6;

/** The same roll wrap by wrap, without the formula: each wrap uses up its own middle circumference, the last one in part. */
function woundWrapByWrap({ startDiameterM, layerThicknessM, lengthM }: (typeof table)[number]): {
  diameterM: number;
  wraps: number;
} {
  let left = lengthM;
  let wraps = 0;
  for (;;) {
    const circumference = Math.PI * (startDiameterM + (2 * wraps + 1) * layerThicknessM);
    if (left < circumference) {
      const share = left / circumference;
      return { diameterM: startDiameterM + 2 * layerThicknessM * (wraps + share), wraps: wraps + share };
    }
    left -= circumference;
    wraps += 1;
  }
}

const buildUp = fc.record({
  startDiameterM: fc.double({ min: 0.03, max: 0.5, noNaN: true }),
  layerThicknessM: fc.double({ min: 5e-6, max: 5e-4, noNaN: true }),
});
const lengthM = fc.double({ min: 0, max: 40_000, noNaN: true });

describe('build-up of a roll', () => {
  for (const row of table) {
    it(`winds ${row.lengthM} m of ${row.layerThicknessM * 1e6} um layers to ${row.diameterM} m`, () => {
      expect(Math.abs(diameterAfterLength(row, row.lengthM) / row.diameterM - 1)).toBeLessThan(roundedTable);
      expect(
        Math.abs(wrapsToDiameter(row, diameterAfterLength(row, row.lengthM)) / row.wraps - 1),
      ).toBeLessThan(roundedTable);
    });

    it(`agrees with ${row.wraps} wraps summed one by one`, () => {
      const summed = woundWrapByWrap(row);
      // The part of the last wrap is taken in proportion, which is good to one layer in the diameter times 1e-4.
      expect(Math.abs(diameterAfterLength(row, row.lengthM) / summed.diameterM - 1)).toBeLessThan(1e-8);
      expect(wrapsToDiameter(row, diameterAfterLength(row, row.lengthM))).toBeCloseTo(summed.wraps, 3);
    });
  }

  it('has length, diameter, wraps and layer thickness undo each other', () => {
    fc.assert(
      fc.property(buildUp, lengthM, (build, length) => {
        const diameterM = diameterAfterLength(build, length);
        // Squared diameters of about 1 m2 carry 1e-16; a length of one layer's worth is pi D / h times that.
        const rounding = 1e-9 + (1e-14 * diameterM ** 2) / build.layerThicknessM;
        expect(Math.abs(lengthToDiameter(build, diameterM) - length)).toBeLessThan(rounding);
        expect(
          Math.abs(diameterAfterWraps(build, wrapsToDiameter(build, diameterM)) / diameterM - 1),
        ).toBeLessThan(1e-14);
        if (length > 100) {
          const mean = meanLayerThickness({
            startDiameterM: build.startDiameterM,
            diameterM,
            lengthM: length,
          });
          expect(Math.abs(mean / build.layerThicknessM - 1)).toBeLessThan(1e-9);
        }
      }),
    );
  });

  it('does not matter whether a length is wound at once or in two goes', () => {
    fc.assert(
      fc.property(buildUp, lengthM, lengthM, (build, first, second) => {
        const between = diameterAfterLength(build, first);
        const inTwo = diameterAfterLength({ ...build, startDiameterM: between }, second);
        expect(Math.abs(inTwo / diameterAfterLength(build, first + second) - 1)).toBeLessThan(1e-13);
      }),
    );
  });

  it('unwinds with a negative length, and refuses to unwind more than there is', () => {
    const build = { startDiameterM: 0.5, layerThicknessM: 1e-4 };
    expect(diameterAfterLength(build, -1000)).toBeLessThan(0.5);
    expect(() => diameterAfterLength(build, -3000)).toThrow(/lengthM/);
  });

  it('names the parameter, the value and the unit of a broken contract', () => {
    expect(() => diameterAfterLength({ startDiameterM: 0, layerThicknessM: 1e-4 }, 1)).toThrow(
      new RangeError('startDiameterM: a finite number > 0 m is needed, got 0 m'),
    );
    expect(() => lengthToDiameter({ startDiameterM: 0.1, layerThicknessM: -1 }, 1)).toThrow(
      /layerThicknessM.*-1 m/,
    );
    expect(() => wrapsToDiameter({ startDiameterM: 0.1, layerThicknessM: 1e-4 }, Number.NaN)).toThrow(
      /diameterM/,
    );
  });
});
