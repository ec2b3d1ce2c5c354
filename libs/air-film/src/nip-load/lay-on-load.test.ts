import { known, type Quantity, reason, unknown } from '@edge-margin/units';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type LayOnEnd, layOnLoad } from './index.js';

const valueIn = (quantity: Quantity) => (quantity.kind === 'known' ? quantity.value : NaN);
const uncertaintyIn = (quantity: Quantity) => (quantity.kind === 'known' ? quantity.uncertainty : NaN);

/** One cylinder of 63 mm bore and 20 mm rod at 2 bar, arm 1:1, from the side, without friction. */
const plainEnd: LayOnEnd = {
  cylinders: { count: 1, boreDiameterM: 0.063, rodDiameterM: 0.02, closesBy: 'piston side' },
  closingPressurePa: known(2e5),
  leverRatio: 1,
  massKg: 60,
  closingAngleRad: Math.PI / 2,
  frictionN: 0,
  movement: 'not told',
};

const both = (end: LayOnEnd, contactWidthM = 1) => layOnLoad({ tending: end, drive: end, contactWidthM });

describe('the load of a lay-on roller from its cylinders', () => {
  // Own arithmetic: pi/4 x 0.063^2 = 3.11725e-3 m2; ring 2.80309e-3 m2.
  it('is pressure times piston area, both ends, over the contact width', () => {
    const load = both(plainEnd, 1.25);
    expect(valueIn(load.tendingForceN)).toBeCloseTo(623.45, 2);
    expect(valueIn(load.loadNPerM)).toBeCloseTo((2 * 623.45) / 1.25, 2);
    expect(load.contact).toBe('closed');
    expect(load.because).toBeUndefined();
  });

  it('is pressure times the ring where the rod side closes', () => {
    const load = both({ ...plainEnd, cylinders: { ...plainEnd.cylinders, closesBy: 'rod side' } });
    expect(valueIn(load.driveForceN)).toBeCloseTo(560.62, 2);
  });

  it('takes the counter pressure off on the other side', () => {
    // 2 bar on the piston against 1 bar on the ring: 623.45 - 280.31.
    const load = both({ ...plainEnd, counterPressurePa: known(1e5) });
    expect(valueIn(load.tendingForceN)).toBeCloseTo(343.14, 2);
  });

  it('counts cylinders and levers', () => {
    const load = both({ ...plainEnd, leverRatio: 1.6, cylinders: { ...plainEnd.cylinders, count: 2 } });
    expect(valueIn(load.tendingForceN)).toBeCloseTo(623.45 * 2 * 1.6, 1);
  });

  it('adds the weight from above, nothing from the side, takes it off from below', () => {
    // 60 kg x 9.80665 = 588.40 N.
    const at = (closingAngleRad: number) =>
      valueIn(both({ ...plainEnd, closingAngleRad }).tendingForceN) - 623.449;
    expect(at(0)).toBeCloseTo(588.4, 1);
    expect(at(Math.PI / 3)).toBeCloseTo(294.2, 1);
    expect(at(Math.PI / 2)).toBeCloseTo(0, 1);
    expect(at(Math.PI)).toBeCloseTo(-588.4, 1);
  });

  it('takes the friction band as an even distribution, on one side before a growing roll', () => {
    const eitherWay = both({ ...plainEnd, frictionN: 90 });
    expect(valueIn(eitherWay.tendingForceN)).toBeCloseTo(623.45, 2);
    expect(uncertaintyIn(eitherWay.tendingForceN)).toBeCloseTo(90 / Math.sqrt(3), 9);
    expect(uncertaintyIn(eitherWay.loadNPerM)).toBeCloseTo((2 * 90) / Math.sqrt(3), 9);
    const retreating = both({ ...plainEnd, frictionN: 90, movement: 'retreating' });
    expect(valueIn(retreating.tendingForceN)).toBeCloseTo(623.45 + 45, 2);
    expect(uncertaintyIn(retreating.tendingForceN)).toBeCloseTo(90 / Math.sqrt(12), 9);
  });

  it('carries the uncertainty of the pressure', () => {
    const load = both({ ...plainEnd, closingPressurePa: known(2e5, 1e4) });
    expect(uncertaintyIn(load.tendingForceN)).toBeCloseTo(31.1725, 3);
  });

  it('is open, with load 0, where the roller hangs away from the roll', () => {
    const load = both({ ...plainEnd, closingAngleRad: Math.PI, closingPressurePa: known(1e5) });
    expect(load.contact).toBe('open');
    expect(valueIn(load.loadNPerM)).toBe(0);
    expect(load.because).toMatchObject({
      code: 'nip-open',
      text: 'by pressure and weight the nip is open: -277 N at the tending side, -277 N at the drive side',
    });
  });

  it('is not known where one end is lifted', () => {
    const lifted = { ...plainEnd, closingAngleRad: Math.PI, closingPressurePa: known(1e5) };
    const load = layOnLoad({ tending: plainEnd, drive: lifted, contactWidthM: 1 });
    expect(load.contact).toBe('one end open');
    expect(load.loadNPerM).toMatchObject({ kind: 'unknown', because: { code: 'nip-one-end-open' } });
    expect(valueIn(load.tendingForceN)).toBeGreaterThan(0);
  });

  it('is in doubt where friction may hold the roller', () => {
    const load = both({ ...plainEnd, frictionN: 600 });
    expect(load.contact).toBe('in doubt');
    expect(load.because?.code).toBe('nip-contact-in-doubt');
    expect(valueIn(load.loadNPerM)).toBeCloseTo(2 * 623.45, 1);
  });

  it('is not known where a pressure is not, and says why', () => {
    const closingPressurePa = unknown(reason('stale', 'the pressure is stale'));
    for (const load of [
      layOnLoad({ tending: { ...plainEnd, closingPressurePa }, drive: plainEnd, contactWidthM: 1 }),
      layOnLoad({ tending: plainEnd, drive: { ...plainEnd, closingPressurePa }, contactWidthM: 1 }),
    ]) {
      expect(load.contact).toBe('unknown');
      expect(load.loadNPerM).toMatchObject({ because: { code: 'stale' } });
      expect(load.because?.code).toBe('stale');
    }
  });

  it('grows with pressure, bore and lever and falls with width', () => {
    const pressure = fc.double({ min: 1e4, max: 8e5, noNaN: true });
    const factor = fc.double({ min: 1.01, max: 3, noNaN: true });
    fc.assert(
      fc.property(pressure, factor, (pa, k) => {
        const end = { ...plainEnd, closingPressurePa: known(pa) };
        const base = valueIn(both(end).loadNPerM);
        expect(valueIn(both({ ...end, closingPressurePa: known(k * pa) }).loadNPerM) / base).toBeCloseTo(
          k,
          9,
        );
        expect(valueIn(both({ ...end, leverRatio: k }).loadNPerM) / base).toBeCloseTo(k, 9);
        const cylinders = { ...end.cylinders, boreDiameterM: k * end.cylinders.boreDiameterM };
        expect(valueIn(both({ ...end, cylinders }).loadNPerM) / base).toBeCloseTo(k * k, 9);
        expect(valueIn(both(end, k).loadNPerM) * k).toBeCloseTo(base, 6);
      }),
    );
  });

  it.each([
    ['boreDiameterM', { cylinders: { ...plainEnd.cylinders, boreDiameterM: 0 } }],
    ['rodDiameterM', { cylinders: { ...plainEnd.cylinders, rodDiameterM: 0.07 } }],
    ['count', { cylinders: { ...plainEnd.cylinders, count: 0 } }],
    ['leverRatio', { leverRatio: -1 }],
    ['massKg', { massKg: NaN }],
    ['closingAngleRad', { closingAngleRad: 90 }],
    ['frictionN', { frictionN: -1 }],
  ])('refuses %s that cannot be', (name, change: Partial<LayOnEnd>) => {
    expect(() => both({ ...plainEnd, ...change })).toThrow(RangeError);
    expect(() => both({ ...plainEnd, ...change })).toThrow(`${name}: `);
  });

  it('refuses a width of 0', () => {
    expect(() => both(plainEnd, 0)).toThrow('contactWidthM: 0.001 to 20 m is needed, got 0 m');
  });
});
