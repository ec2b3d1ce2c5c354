import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { reason } from '@edge-margin/units';
import type { AirPoint } from './air-point.js';
import { marginAt } from './critical-speed.js';
import { arbitraryPoint } from './fixtures/arbitrary-point.js';
import { lwcPoint, petPoint } from './fixtures/example-points.js';
import { remedies } from './ranked-remedies.js';

const limits = {
  speedMPerS: { min: 5, max: 42 },
  nipLoadNPerM: { min: 500, max: 6000 },
  tensionNPerM: { min: 150, max: 600 },
};

describe('the remedies', () => {
  it('are ranked by the size of the change, those that cannot help last with the reason', () => {
    const found = remedies(lwcPoint, 0.15, limits);
    expect(found.map(({ kind, setPoint }) => ({ kind, setPoint }))).toEqual([
      { kind: 'change', setPoint: 'speed' },
      { kind: 'change', setPoint: 'nipLoad' },
      { kind: 'cannot-help', setPoint: 'tension' },
    ]);
    expect(found[2]?.because.code).toBe('tension-under-nip');
  });

  it('are the same without the set point that is left out', () => {
    const [slower, ...others] = remedies(lwcPoint, 0.15, limits);
    expect(slower?.setPoint).toBe('speed');
    expect(remedies(lwcPoint, 0.15, limits, { leaveOut: 'speed' })).toEqual(others);
  });

  it('are none where the margin is met', () => {
    expect(remedies(lwcPoint, 0.05, limits)).toEqual([]);
  });

  it('name what, from, to, by which diameter, the time it costs and a side effect', () => {
    const [slower, press] = remedies(lwcPoint, 0.15, limits, { lengthLeftM: 36_000, byDiameterM: 0.83 });
    if (slower?.kind !== 'change' || press?.kind !== 'change') throw new Error('two changes');
    expect(slower.because.text).toMatch(
      /^a speed of 16\d\d m\/min instead of 1800 m\/min leaves a margin of 15 %, by a diameter of 830 mm$/,
    );
    // Own arithmetic: 36 km at the new speed, less 20 min.
    expect(slower.timeCostS).toBeCloseTo(36_000 / slower.to - 1200, 9);
    expect(slower.changeRatio).toBeCloseTo(slower.to / 30 - 1, 12);
    expect(slower.sideEffects.map(({ text }) => text)).toEqual([
      expect.stringMatching(/^winding takes longer, the rest of the set by 8\d s$/) as string,
    ]);
    expect(press.timeCostS).toBe(0);
    expect(press.sideEffects.map(({ code }) => code)).toEqual(['tighter-and-harder']);
    expect(press.because.text).toMatch(/rated limits and the site's rules/);
  });

  it('take what a change does to other mechanisms from the caller', () => {
    const moves = reason('resonance-moves', 'the resonance moves to 812 mm');
    const [slower] = remedies(lwcPoint, 0.15, limits, {
      otherMechanisms: ({ setPoint }) => (setPoint === 'speed' ? [moves] : []),
    });
    if (slower?.kind !== 'change') throw new Error('change');
    expect(slower.sideEffects).toContain(moves);
  });

  it('reach the margin within the limits, wherever they say so', () => {
    fc.assert(
      fc.property(arbitraryPoint, fc.double({ min: 0, max: 0.5, noNaN: true }), (point, marginRatio) => {
        for (const remedy of remedies(point, marginRatio)) {
          if (remedy.kind !== 'change') continue;
          const { nip, running } = point;
          const after: AirPoint = {
            ...point,
            speedLimitMPerS: 200,
            nip:
              nip === null
                ? null
                : { ...nip, loadNPerM: remedy.setPoint === 'nipLoad' ? remedy.to : nip.loadNPerM },
            running: {
              ...running,
              speedMPerS: remedy.setPoint === 'speed' ? remedy.to : running.speedMPerS,
              tensionNPerM: remedy.setPoint === 'tension' ? remedy.to : running.tensionNPerM,
            },
          };
          expect(marginAt(after)!).toBeCloseTo(marginRatio, 6);
        }
      }),
      { numRuns: 200 },
    );
  });

  it('never speak as a command', () => {
    for (const remedy of [...remedies(lwcPoint, 0.15), ...remedies({ ...petPoint, nip: null }, 0.1)]) {
      expect(remedy.because.text).not.toMatch(/^(raise|lower|reduce|increase|slow|set|change)\b/i);
    }
  });
});
