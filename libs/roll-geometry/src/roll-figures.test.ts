import { type Known, type Quantity, known, reason, unknown } from '@edge-margin/units';
import { describe, expect, it } from 'vitest';
import { diameterFromRotation } from './diameter-from-rotation.js';
import { diameterFromLength, lengthFromDiameter, wrapsFromDiameter } from './roll-figures.js';
import { wayToDiameter } from './way-to-diameter.js';

const stale = unknown(reason('stale', 'no reading for 12 s', { forS: 12 }));
const told = (quantity: Quantity): Known => {
  if (quantity.kind === 'unknown') throw new Error(quantity.because.text);
  return quantity;
};

/** Standard uncertainty by shifting one input at a time by its own (JCGM 100:2008, 5.1.3 note 2), independent of the formulas under test. */
function byShifting(f: (...values: number[]) => number, inputs: readonly Known[]): number {
  const shifted = inputs.map((input, index) => {
    const at = (sign: number) =>
      f(...inputs.map((other, k) => other.value + (k === index ? sign * 0.01 * input.uncertainty : 0)));
    return (at(1) - at(-1)) / 0.02;
  });
  return Math.hypot(...shifted);
}

describe('diameter from speed and core rotation', () => {
  it('inverts the rotation frequencies of a table by own arithmetic', () => {
    const rows = [
      [5, 0.3, 5.3052],
      [10, 0.5, 6.3662],
      [20, 0.5, 12.732],
      [25, 1.0, 7.9577],
      [30, 1.2, 7.9577],
      [40, 1.5, 8.4883],
    ] as const;
    for (const [speed, diameter, frequency] of rows) {
      const from = told(diameterFromRotation({ speedMPerS: known(speed), coreRotationHz: known(frequency) }));
      // The table gives five figures.
      expect(Math.abs(from.value / diameter - 1)).toBeLessThan(5e-5);
    }
  });

  it('carries the uncertainty of both', () => {
    const inputs = [known(20, 0.1), known(12.732, 0.05)] as const;
    const from = told(diameterFromRotation({ speedMPerS: inputs[0], coreRotationHz: inputs[1] }));
    expect(from.uncertainty).toBeCloseTo(
      byShifting((v, f) => v / (Math.PI * f), inputs),
      8,
    );
  });

  it('says why there is none', () => {
    expect(diameterFromRotation({ speedMPerS: stale, coreRotationHz: known(1) })).toBe(stale);
    expect(diameterFromRotation({ speedMPerS: known(1), coreRotationHz: stale })).toBe(stale);
    for (const [speed, rotation] of [
      [known(0), known(0)],
      [known(0.02, 0.02), known(0.1)],
      [known(5), known(-1)],
    ] as const) {
      expect(diameterFromRotation({ speedMPerS: speed, coreRotationHz: rotation })).toMatchObject({
        kind: 'unknown',
        because: { code: 'roll-standing' },
      });
    }
  });
});

describe('figures of a roll with their uncertainty', () => {
  const build = { coreDiameterM: known(0.1, 0.0005), layerThicknessM: known(60e-6, 2e-6) };
  const diameter = known(0.88, 0.002);
  const length = known(10_000, 30);

  it('propagates to diameter, length and wraps as shifting the inputs does', () => {
    const inputs = [build.coreDiameterM, build.layerThicknessM];
    const checks = [
      [
        diameterFromLength(build, length),
        (d0: number, h: number, l: number) => Math.sqrt(d0 * d0 + (4 / Math.PI) * h * l),
        length,
      ],
      [
        lengthFromDiameter(build, diameter),
        (d0: number, h: number, d: number) => (Math.PI * (d * d - d0 * d0)) / (4 * h),
        diameter,
      ],
      [
        wrapsFromDiameter(build, diameter),
        (d0: number, h: number, d: number) => (d - d0) / (2 * h),
        diameter,
      ],
    ] as const;
    for (const [quantity, f, third] of checks) {
      const values = [...inputs, third] as const;
      expect(told(quantity).value).toBeCloseTo(f(0.1, 60e-6, third.value), 9);
      // Central differences of a hundredth of the uncertainty: second-order terms below 1e-5.
      expect(told(quantity).uncertainty / byShifting(f, values)).toBeCloseTo(1, 5);
    }
  });

  it('passes reasons on and counts nothing below the core', () => {
    expect(diameterFromLength(build, stale)).toBe(stale);
    expect(lengthFromDiameter(build, stale)).toBe(stale);
    expect(wrapsFromDiameter(build, stale)).toBe(stale);
    expect(told(lengthFromDiameter(build, known(0.099))).value).toBe(0);
    expect(told(wrapsFromDiameter(build, known(0.099))).value).toBe(0);
    expect(told(diameterFromLength(build, known(-3))).value).toBe(0.1);
  });
});

describe('way to a diameter', () => {
  const now = {
    diameterM: known(0.6, 0.003),
    layerThicknessM: known(50e-6, 1e-6),
    speedMPerS: known(30, 0.3),
    toDiameterM: 1.2,
  };

  it('gives length and time with what the inputs leave open', () => {
    const way = wayToDiameter(now);
    expect(told(way.lengthM).value).toBeCloseTo((Math.PI * (1.44 - 0.36)) / (4 * 50e-6), 6);
    expect(told(way.durationS).value).toBeCloseTo(told(way.lengthM).value / 30, 9);
    const time = (d: number, h: number, v: number) => (Math.PI * (1.44 - d * d)) / (4 * h * v);
    const shifted = byShifting(time, [now.diameterM, now.layerThicknessM, now.speedMPerS]);
    expect(told(way.durationS).uncertainty / shifted).toBeCloseTo(1, 4);
  });

  it('is over where the diameter is reached', () => {
    const way = wayToDiameter({ ...now, toDiameterM: 0.5 });
    expect(told(way.lengthM).value).toBe(0);
    expect(told(way.durationS).value).toBe(0);
  });

  it('has a length but no time while the winder stands', () => {
    const way = wayToDiameter({ ...now, speedMPerS: known(0, 0.01) });
    expect(way.lengthM.kind).toBe('known');
    expect(way.durationS).toMatchObject({ kind: 'unknown', because: { code: 'winder-standing' } });
  });

  it('passes on why it is not known', () => {
    expect(wayToDiameter({ ...now, diameterM: stale })).toEqual({ lengthM: stale, durationS: stale });
    expect(wayToDiameter({ ...now, layerThicknessM: stale })).toEqual({ lengthM: stale, durationS: stale });
    expect(wayToDiameter({ ...now, speedMPerS: stale }).durationS).toBe(stale);
  });
});
