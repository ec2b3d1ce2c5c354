import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bondedLayerContact } from '../fixtures/bonded-layer.js';
import { layerRatio } from './layer-ratio.js';
import { layeredContact, type LayeredNip } from './layered-contact.js';

const quantities = ['halfWidth', 'peakPressure', 'edgeGradient', 'indentation', 'stiffness'] as const;

/** A nip with a half width of `a/t` cover thicknesses, by Hertz times the layer's load factor. */
const nip: LayeredNip = {
  loadNPerM: 702,
  reducedRadiusM: 0.075,
  coverModulusPa: 3.6e6,
  coverPoissonRatio: 0.49,
  coverThicknessM: 0.012,
};

const departure = (value: number, from: number) => Math.abs(value / from - 1);

const anyNip = fc.record({
  loadNPerM: fc.double({ min: 10, max: 8000, noNaN: true }),
  reducedRadiusM: fc.double({ min: 0.02, max: 0.5, noNaN: true }),
  coverModulusPa: fc.double({ min: 5e5, max: 5e7, noNaN: true }),
  coverPoissonRatio: fc.double({ min: 0, max: 0.5, noNaN: true }),
  coverThicknessM: fc.double({ min: 2e-3, max: 0.05, noNaN: true }),
});

describe('the direct solution of the bonded layer', () => {
  // Source: an earlier own numerical solution of the same problem by another discretisation, good to 0.3 %.
  // a/t, nu; load factor, highest pressure over Hertz at the same half width (where it was written down), 2 R d/a^2, k/E*.
  it.each([
    [0.1, 0.45, 1.0105, null, 2.7182, 0.7149],
    [0.2, 0.45, 1.0377, null, 2.0799, 1.0263],
    [0.3, 0.45, 1.0821, null, 1.7433, 1.348],
    [0.5, 0.45, 1.2185, null, 1.3875, 2.061],
    [1, 0.45, 1.7629, null, 1.067, 4.1933],
    [2, 0.45, 3.3024, null, 0.9129, 9.3369],
    [0.1, 0.49, 1.0114, 1.0107, 2.5888, 0.7599],
    [0.2, 0.49, 1.0412, 1.0408, 1.9515, 1.12],
    [0.3, 0.49, 1.0903, 1.091, 1.6156, 1.5094],
    [0.5, 0.49, 1.2424, 1.2513, 1.2585, 2.4296],
    [1, 0.49, 1.8726, 1.9661, 0.9238, 5.6024],
    [2, 0.49, 3.8574, 4.3691, 0.7321, 15.581],
    [0.1, 0.4999, 1.0117, null, 2.5509, 0.7742],
    [0.2, 0.4999, 1.0422, null, 1.9138, 1.1507],
    [0.3, 0.4999, 1.0927, null, 1.5779, 1.5641],
    [0.5, 0.4999, 1.2495, null, 1.2198, 2.5637],
    [1, 0.4999, 1.9069, null, 0.8782, 6.2171],
    [2, 0.4999, 4.0562, null, 0.6662, 19.459],
  ])('agrees with another discretisation at a/t %s, nu %s', (x, nu, load, peak, approach, stiffness) => {
    const solved = bondedLayerContact(x, nu);
    expect(departure(solved.halfWidth ** -2, load)).toBeLessThan(3e-3);
    if (peak !== null) expect(departure(solved.peakPressure / solved.halfWidth, peak)).toBeLessThan(3e-3);
    expect(departure((2 * solved.indentation) / x ** 2, approach)).toBeLessThan(3e-3);
    expect(departure(solved.stiffness, stiffness)).toBeLessThan(3e-3);
  });

  it('has the limits of a thin layer (Johnson 1985, Contact Mechanics, section 5.8, from memory)', () => {
    // Compressible: w = (2/3) K a^3/(R t), K = E (1 - nu)/((1 + nu)(1 - 2 nu)); over Hertz (8/(3 pi)) (K/E*) (a/t). The edge adds a constant to a.
    const stiffening = (nu: number) => ((1 - nu) / ((1 + nu) * (1 - 2 * nu))) * (1 - nu * nu);
    const compressible = (x: number) =>
      bondedLayerContact(x, 0.2).halfWidth ** -2 - (8 / (3 * Math.PI)) * stiffening(0.2) * x;
    expect(Math.abs(compressible(12) / bondedLayerContact(12, 0.2).halfWidth ** -2)).toBeLessThan(0.06);
    expect(compressible(12) - compressible(6)).toBeLessThan(0.02);
    // Incompressible: w = 2 E a^5/(45 R t^3) with a replaced by a + 1.4 t; over Hertz (8 (1 - nu^2)/(45 pi)) ((x + 1.4)^5/x^2).
    const solved = bondedLayerContact(8, 0.5).halfWidth ** -2;
    const thin = ((8 * 0.75) / (45 * Math.PI)) * ((8 + 1.4) ** 5 / 8 ** 2);
    expect(departure(solved, thin)).toBeLessThan(0.03);
  });
});

describe('the table of the layer', () => {
  // 0.2 % for what the film and the contact need, 0.5 % for indentation and stiffness: what its text says.
  it('is within its stated error of the direct solution everywhere', () => {
    const worst = { halfWidth: 0, peakPressure: 0, edgeGradient: 0, indentation: 0, stiffness: 0 };
    for (const nu of [0, 0.13, 0.27, 0.3, 0.36, 0.41, 0.45, 0.47, 0.485, 0.49, 0.496, 0.4999, 0.5]) {
      for (const x of [0.035, 0.05, 0.11, 0.2, 0.33, 0.55, 0.8, 1.2, 1.7, 2.3, 2.9]) {
        const solved = bondedLayerContact(x, nu);
        if (solved.thinness > 8) continue;
        const place = { thinness: solved.thinness, poissonRatio: nu };
        for (const quantity of quantities) {
          const error = departure(layerRatio(quantity, place), solved[quantity]);
          worst[quantity] = Math.max(worst[quantity], error);
        }
      }
    }
    expect(worst.halfWidth).toBeLessThan(2e-3);
    expect(worst.peakPressure).toBeLessThan(2e-3);
    expect(worst.edgeGradient).toBeLessThan(2e-3);
    expect(worst.indentation).toBeLessThan(5e-3);
    expect(worst.stiffness).toBeLessThan(5e-3);
  });

  it('goes on below its first column by the half-space limit', () => {
    for (const nu of [0.2, 0.45, 0.5]) {
      for (const x of [0.01, 0.001]) {
        const solved = bondedLayerContact(x, nu);
        const place = { thinness: solved.thinness, poissonRatio: nu };
        for (const quantity of quantities) {
          expect(departure(layerRatio(quantity, place), solved[quantity]), quantity).toBeLessThan(1e-3);
        }
      }
    }
  });

  it('goes on above its last column: off by less than a tenth at twice, a third at four times the thinness (half width, pressure)', () => {
    for (const [x, within] of [
      [4.5, 0.1],
      [7, 0.33],
    ] as const) {
      for (const nu of [0.3, 0.45, 0.5]) {
        const solved = bondedLayerContact(x, nu);
        expect(solved.thinness).toBeGreaterThan(8);
        const place = { thinness: solved.thinness, poissonRatio: nu };
        for (const quantity of ['halfWidth', 'peakPressure', 'edgeGradient'] as const) {
          expect(departure(layerRatio(quantity, place), solved[quantity]), quantity).toBeLessThan(within);
        }
      }
    }
  });
});

describe('the contact of a covered roller', () => {
  it('is that of the worked example', () => {
    // Source: own numerical solution: R 75 mm, t 12 mm, E 3.6 MPa, nu 0.49, a 3.6 mm: w 702 N/m, indentation 0.1397 mm, stiffness 7.15e6 N/m per m. Good to 0.3 %.
    const contact = layeredContact(nip);
    expect(departure(contact.halfWidthM, 3.6e-3)).toBeLessThan(3e-3);
    expect(departure(contact.indentationM, 0.1397e-3)).toBeLessThan(3e-3);
    expect(departure(contact.stiffnessNPerM2, 7.15e6)).toBeLessThan(3e-3);
    expect(departure(contact.layerFactor, 1.0903)).toBeLessThan(3e-3);
    expect(contact.extrapolated).toBe(false);
    // Spring and mass: 1.5 m face, 200 kg: 36.87 Hz, same source.
    expect(Math.sqrt((contact.stiffnessNPerM2 * 1.5) / 200) / (2 * Math.PI)).toBeCloseTo(36.87, 0);
  });

  it('is that of Hertz where the cover is thick', () => {
    // Johnson 1985, chapter 4: a = sqrt(4 w R/(pi E*)), p = 2 w/(pi a).
    const contact = layeredContact({ ...nip, coverThicknessM: 0.9 });
    const hertzM = Math.sqrt((4 * 702 * 0.075 * (1 - 0.49 ** 2)) / (Math.PI * 3.6e6));
    expect(contact.halfWidthM / hertzM).toBeCloseTo(1, 4);
    expect(contact.peakPressurePa / ((2 * 702) / (Math.PI * hertzM))).toBeCloseTo(1, 4);
    expect(contact.layerFactor).toBeCloseTo(1, 4);
  });

  it('is stiffer, shorter and under more pressure the thinner the cover', () => {
    fc.assert(
      fc.property(anyNip, fc.double({ min: 1.05, max: 4, noNaN: true }), (thick, factor) => {
        const thin = { ...thick, coverThicknessM: thick.coverThicknessM / factor };
        const [before, after] = [layeredContact(thick), layeredContact(thin)];
        expect(after.halfWidthM).toBeLessThan(before.halfWidthM);
        expect(after.peakPressurePa).toBeGreaterThan(before.peakPressurePa);
        expect(after.stiffnessNPerM2).toBeGreaterThan(before.stiffnessNPerM2);
        expect(after.indentationM).toBeLessThan(before.indentationM);
        expect(after.layerFactor).toBeGreaterThan(before.layerFactor);
      }),
    );
  });

  it('grows in every respect with the load, and its stiffness is the slope of load over indentation', () => {
    fc.assert(
      fc.property(anyNip, (any) => {
        const more = layeredContact({ ...any, loadNPerM: 1.001 * any.loadNPerM });
        const less = layeredContact({ ...any, loadNPerM: 0.999 * any.loadNPerM });
        expect(more.halfWidthM).toBeGreaterThan(less.halfWidthM);
        expect(more.peakPressurePa).toBeGreaterThan(less.peakPressurePa);
        expect(more.stiffnessNPerM2).toBeGreaterThan(less.stiffnessNPerM2);
        const slope = (0.002 * any.loadNPerM) / (more.indentationM - less.indentationM);
        // Slope of the interpolation between table columns: 4 %; its own stiffness column 0.5 %.
        if (!more.extrapolated)
          expect(departure(slope, layeredContact(any).stiffnessNPerM2)).toBeLessThan(0.04);
      }),
    );
  });

  it('depends only on ratios: all lengths doubled at equal modulus needs twice the load for twice the half width', () => {
    fc.assert(
      fc.property(anyNip, (any) => {
        const small = layeredContact(any);
        const large = layeredContact({
          ...any,
          loadNPerM: 2 * any.loadNPerM,
          reducedRadiusM: 2 * any.reducedRadiusM,
          coverThicknessM: 2 * any.coverThicknessM,
        });
        expect(large.halfWidthM / small.halfWidthM).toBeCloseTo(2, 10);
        expect(large.indentationM / small.indentationM).toBeCloseTo(2, 10);
        expect(large.peakPressurePa / small.peakPressurePa).toBeCloseTo(1, 10);
        expect(large.stiffnessNPerM2 / small.stiffnessNPerM2).toBeCloseTo(1, 10);
      }),
    );
  });

  it('changes without a jump at both ends of the table', () => {
    for (const thinness of [1 / 32, 8]) {
      for (const quantity of quantities) {
        const below = layerRatio(quantity, { thinness: thinness * (1 - 1e-9), poissonRatio: 0.47 });
        const above = layerRatio(quantity, { thinness: thinness * (1 + 1e-9), poissonRatio: 0.47 });
        expect(above / below).toBeCloseTo(1, 7);
      }
    }
  });

  it('is no contact without load', () => {
    const open = layeredContact({ ...nip, loadNPerM: 0 });
    expect(open).toMatchObject({ halfWidthM: 0, peakPressurePa: 0, indentationM: 0, stiffnessNPerM2: 0 });
  });

  it('says that it goes beyond its table', () => {
    expect(
      layeredContact({ ...nip, loadNPerM: 4000, coverModulusPa: 1e5, coverThicknessM: 2e-3 }).extrapolated,
    ).toBe(true);
  });

  it.each([
    ['loadNPerM', -1, 'N/m'],
    ['reducedRadiusM', 0, 'm'],
    ['coverModulusPa', NaN, 'Pa'],
    ['coverPoissonRatio', 0.51, ''],
    ['coverThicknessM', 0, 'm'],
  ])('refuses %s %s', (name, value, unit) => {
    expect(() => layeredContact({ ...nip, [name]: value })).toThrow(RangeError);
    expect(() => layeredContact({ ...nip, [name]: value })).toThrow(`${name}: `);
    expect(() => layeredContact({ ...nip, [name]: value })).toThrow(
      `got ${value}${unit === '' ? '' : ` ${unit}`}`,
    );
  });
});
