import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type SpeedPlan, durationAlongPlan, lengthAlongPlan } from './speed-plan.js';
import { timeToDiameter, timeToDiameterAlongPlan } from './time-to-diameter.js';

/** Up in a minute, steady, a step down, slowing to rest. */
const set: SpeedPlan = [
  { afterS: 0, speedMPerS: 0 },
  { afterS: 60, speedMPerS: 20 },
  { afterS: 300, speedMPerS: 20 },
  { afterS: 300, speedMPerS: 15 },
  { afterS: 600, speedMPerS: 15 },
  { afterS: 650, speedMPerS: 0 },
];
const wholeSetM = 600 + 4800 + 4500 + 375;

const anyPlan = fc
  .array(
    fc.record({
      gapS: fc.double({ min: 0, max: 500, noNaN: true }),
      speedMPerS: fc.double({ min: 0.1, max: 40, noNaN: true }),
    }),
    { minLength: 1, maxLength: 6 },
  )
  .map((corners) => {
    let afterS = 0;
    return corners.map(({ gapS, speedMPerS }, index) => ({
      afterS: index === 0 ? 0 : (afterS += gapS),
      speedMPerS,
    }));
  });

describe('time along a planned speed', () => {
  it('winds the area under the lines', () => {
    expect(lengthAlongPlan(set, 60)).toBeCloseTo(600, 9);
    expect(lengthAlongPlan(set, 30)).toBeCloseTo(150, 9);
    expect(lengthAlongPlan(set, 301)).toBeCloseTo(5415, 9);
    expect(lengthAlongPlan(set, 10_000)).toBeCloseTo(wholeSetM, 9);
  });

  it('never winds more than the plan holds', () => {
    expect(durationAlongPlan(set, wholeSetM)).toBeCloseTo(650, 6);
    expect(durationAlongPlan(set, wholeSetM + 0.001)).toBeUndefined();
    expect(durationAlongPlan([{ afterS: 0, speedMPerS: 0 }], 1)).toBeUndefined();
    expect(durationAlongPlan([{ afterS: 0, speedMPerS: 0 }], 0)).toBe(0);
  });

  it('gives back the time of any length, for any plan that keeps moving', () => {
    fc.assert(
      fc.property(anyPlan, fc.double({ min: 0, max: 3000, noNaN: true }), (plan, durationS) => {
        const back = durationAlongPlan(plan, lengthAlongPlan(plan, durationS));
        // Lengths up to 1e5 m carry 1e-11 m, at 0.1 m/s 1e-10 s; steep ramps take a few digits more.
        expect(Math.abs(back! - durationS)).toBeLessThan(1e-6);
      }),
    );
  });

  it('takes as long to a diameter as marching there in small steps', () => {
    const build = { startDiameterM: 0.1, layerThicknessM: 80e-6 };
    let squareM2 = 0.01;
    let timeS = 0;
    const stepS = 0.001;
    while (squareM2 < 0.8 ** 2) {
      const t = timeS + stepS / 2;
      const speed = t < 60 ? t / 3 : t < 300 ? 20 : 15;
      squareM2 += (4 / Math.PI) * build.layerThicknessM * speed * stepS;
      timeS += stepS;
    }
    expect(Math.abs(timeToDiameterAlongPlan(build, 0.8, set)! - timeS)).toBeLessThan(2 * stepS);
  });

  it('is the plain quotient at a constant speed', () => {
    const build = { startDiameterM: 0.1, layerThicknessM: 60e-6 };
    // Length of the 0.879741 m row: 10 000 m (own arithmetic), rounded to six figures of diameter.
    expect(Math.abs(timeToDiameter(build, 0.879741, 20) - 500)).toBeLessThan(500 * 6e-6);
    expect(timeToDiameterAlongPlan(build, 0.879741, [{ afterS: 0, speedMPerS: 20 }])).toBeCloseTo(
      timeToDiameter(build, 0.879741, 20),
      9,
    );
    expect(timeToDiameter(build, 0.05, 20)).toBe(0);
    expect(() => timeToDiameter(build, 0.5, 0)).toThrow(
      'speedMPerS: a finite number > 0 m/s is needed, got 0 m/s',
    );
  });

  it('refuses plans that are none', () => {
    expect(() => lengthAlongPlan([], 1)).toThrow(/plan/);
    expect(() => lengthAlongPlan([{ afterS: 1, speedMPerS: 1 }], 1)).toThrow(/first corner/);
    expect(() =>
      lengthAlongPlan(
        [
          { afterS: 0, speedMPerS: 1 },
          { afterS: -1, speedMPerS: 1 },
        ],
        1,
      ),
    ).toThrow(/at least 0 s/);
    expect(() => lengthAlongPlan([{ afterS: 0, speedMPerS: -1 }], 1)).toThrow(/speedMPerS/);
  });
});
