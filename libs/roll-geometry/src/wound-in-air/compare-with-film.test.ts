import { type Quantity, known, reason, unknown } from '@edge-margin/units';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compareWithFilm } from './compare-with-film.js';
import type { WoundInAir } from './wound-in-air-types.js';

const told = reason('told', 'told by the test');
const notTold = unknown(reason('no-pressure', 'nobody measures the pressure in the roll'));
const measuredAs = (airThicknessM: Quantity): WoundInAir => ({
  over: 'length',
  layerThicknessM: airThicknessM,
  airThicknessM,
  changeSinceM: airThicknessM,
  stretch: null,
  contributions: null,
  verdict: 'conclusive',
  because: told,
});
const um = (value: number, uncertainty: number) => known(value * 1e-6, uncertainty * 1e-6);

describe('what the diameter should show of a film', () => {
  it('is half of it under 100 kPa at 100 kPa ambient, all of it under none', () => {
    const model = { filmM: um(4, 0.4), woundInPressurePa: known(100e3), ambientPressurePa: 100e3 };
    const { expected } = compareWithFilm(measuredAs(um(3, 0.2)), model);
    // Boyle's law: h pa/(pa + p).
    expect(expected?.pressedM).toEqual(um(2, 0.2));
    expect(expected?.looseM).toEqual(um(4, 0.4));
    const loose = compareWithFilm(measuredAs(um(3, 0.2)), { ...model, woundInPressurePa: known(0) });
    expect(loose.expected?.pressedM).toEqual(loose.expected?.looseM);
  });

  it('carries the uncertainty of the pressure', () => {
    const model = { filmM: um(4, 0), woundInPressurePa: known(100e3, 20e3), ambientPressurePa: 100e3 };
    // d/dp of h pa/(pa + p) is -h pa/(pa + p)^2: 4 um x 100/200^2 x 20 = 0.2 um.
    expect(compareWithFilm(measuredAs(um(3, 0.2)), model).expected?.pressedM.uncertainty).toBeCloseTo(
      0.2e-6,
      12,
    );
  });

  it('is wide where the pressure is not known', () => {
    const { expected } = compareWithFilm(measuredAs(um(3, 0.2)), {
      filmM: um(4, 0.4),
      woundInPressurePa: notTold,
    });
    expect((expected?.pressedM.value ?? 0) / 4e-6).toBeCloseTo(101_325 / 601_325, 9);
  });
});

describe('the verdict', () => {
  const model = { filmM: um(4, 0.4), woundInPressurePa: known(100e3), ambientPressurePa: 100e3 };
  // Expected 2.0 (u 0.2) to 4.0 (u 0.4) um, measured to 0.3 um: the limits lie at 2 - 2 x 0.361 = 1.28 and at 4 + 2 x 0.5 = 5.0 um.
  it.each([
    [1.2, 'lower', 'less-air-than-model'],
    [1.35, 'agrees', 'air-as-modelled'],
    [3, 'agrees', 'air-as-modelled'],
    [4.9, 'agrees', 'air-as-modelled'],
    [5.1, 'higher', 'more-air-than-model'],
    [50, 'higher', 'more-air-than-model'],
  ])('of %d um is %s', (airUm, verdict, code) => {
    const found = compareWithFilm(measuredAs(um(airUm, 0.3)), model);
    expect([found.verdict, found.because.code]).toEqual([verdict, code]);
  });

  it('is not that they agree where the measurement could not have told otherwise', () => {
    const found = compareWithFilm(measuredAs(um(1, 2.5)), model);
    expect([found.verdict, found.because.code]).toEqual(['not-comparable', 'film-below-uncertainty']);
    expect(found.because.text).toBe(
      'air measured 1.00 µm, expected 2.00 µm to 4.00 µm: measured no closer than 2.50 µm, it cannot tell this film from none',
    );
  });

  it('may still be that they contradict each other: no film where one of 100 um should be', () => {
    const free = { ...model, filmM: um(100, 10) };
    expect(compareWithFilm(measuredAs(um(1, 5)), free).verdict).toBe('lower');
  });

  it('is none, with the reason, where one side says nothing', () => {
    const noFilm = unknown(reason('no-speed', 'no speed'));
    expect(compareWithFilm(measuredAs(um(3, 0.3)), { ...model, filmM: noFilm })).toMatchObject({
      verdict: 'not-comparable',
      because: { code: 'no-speed' },
      expected: null,
    });
    expect(compareWithFilm(measuredAs(noFilm), model)).toMatchObject({
      verdict: 'not-comparable',
      because: { code: 'no-speed' },
      differenceM: { kind: 'unknown' },
    });
  });

  it('never gets higher by measuring less', () => {
    const order = ['lower', 'not-comparable', 'agrees', 'higher'];
    const rank = (airUm: number, uncertainty: number) => {
      const at = order.indexOf(compareWithFilm(measuredAs(um(airUm, uncertainty)), model).verdict);
      return at === 2 ? 1 : at;
    };
    fc.assert(
      fc.property(
        fc.double({ min: -10, max: 20, noNaN: true }),
        fc.double({ min: 0, max: 10, noNaN: true }),
        fc.double({ min: 0, max: 3, noNaN: true }),
        (airUm, more, uncertainty) => {
          expect(rank(airUm + more, uncertainty)).toBeGreaterThanOrEqual(rank(airUm, uncertainty));
        },
      ),
      { seed: 1 },
    );
  });
});

describe('the difference', () => {
  it('is from the middle of what was expected, which lies anywhere in its range', () => {
    const model = { filmM: um(4, 0.4), woundInPressurePa: known(100e3), ambientPressurePa: 100e3 };
    const { differenceM } = compareWithFilm(measuredAs(um(3.5, 0.3)), model);
    if (differenceM.kind === 'unknown') throw new Error(differenceM.because.text);
    expect(differenceM.value).toBeCloseTo(0.5e-6, 12);
    expect(differenceM.uncertainty).toBeCloseTo(1e-6 * Math.hypot(0.3, 0.3, 2 / Math.sqrt(12)), 12);
  });
});

describe('figures that cannot be', () => {
  it('are refused by name, value and unit', () => {
    const model = { filmM: um(4, 0.4), woundInPressurePa: known(100e3) };
    const compare = (changed: object) => () =>
      compareWithFilm(measuredAs(um(3, 0.3)), { ...model, ...changed });
    expect(compare({ filmM: known(-1e-6) })).toThrow('filmM: a number >= 0 m is needed, got -0.000001 m');
    expect(compare({ woundInPressurePa: known(-5) })).toThrow(
      'woundInPressurePa: a number >= 0 Pa is needed, got -5 Pa',
    );
    expect(compare({ ambientPressurePa: 0 })).toThrow(
      'ambientPressurePa: a finite number > 0 Pa is needed, got 0 Pa',
    );
  });
});
