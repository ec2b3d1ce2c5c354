import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { partLoads } from './lane-loads.js';

const part = fc.record({
  widthM: fc.double({ min: 0.01, max: 2, noNaN: true }),
  heightM: fc.double({ min: -1e-3, max: 1e-3, noNaN: true }),
});

describe('the nip load on a face of unequal height', () => {
  it('is carried whole, by those parts that stand high enough, and never pulls', () => {
    fc.assert(
      fc.property(
        fc.array(part, { minLength: 1, maxLength: 12 }),
        fc.double({ min: 1, max: 1e4, noNaN: true }),
        (parts, loadN) => {
          const loads = partLoads(parts, loadN, 2e6);
          const carried = loads.reduce((sum, one, i) => sum + one.loadNPerM * parts[i]!.widthM, 0);
          expect(Math.abs(carried / loadN - 1)).toBeLessThan(1e-6);
          const heights = (touched: boolean) =>
            parts.filter((_, i) => loads[i]!.isTouched === touched).map((one) => one.heightM);
          expect(Math.max(-Infinity, ...heights(false))).toBeLessThanOrEqual(Math.min(...heights(true)));
          loads.forEach((one) => expect(one.loadNPerM).toBeGreaterThanOrEqual(0));
        },
      ),
    );
  });

  it('is the mean load everywhere on an even face, and leaves a lane that is lower than the indentation (own arithmetic)', () => {
    expect(
      partLoads(
        [
          { widthM: 1, heightM: 0 },
          { widthM: 2, heightM: 0 },
        ],
        900,
        2e6,
      ).map((one) => one.loadNPerM),
    ).toEqual([300, 300]);
    const [high, low] = partLoads(
      [
        { widthM: 1, heightM: 0 },
        { widthM: 1, heightM: -0.2e-3 },
      ],
      300,
      2e6,
    );
    expect(high!.loadNPerM).toBeCloseTo(300, 9); // 0.15 mm of indentation do not reach 0.2 mm down
    expect(low!.isTouched).toBe(false);
  });
});
