import { known, type Quantity, reason, unknown } from '@edge-margin/units';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bulkDensity, rollMass, rollMassPerWidth, twoDrumLoad, type TwoDrumWinder } from './index.js';

const valueIn = (quantity: Quantity) => (quantity.kind === 'known' ? quantity.value : NaN);
const uncertaintyIn = (quantity: Quantity) => (quantity.kind === 'known' ? quantity.uncertainty : NaN);

const g = 9.80665;

/** Drums of 700 mm, 30 mm apart; a newsprint roll of 1 m without core. */
const level: TwoDrumWinder = {
  drums: { backDrumDiameterM: 0.7, frontDrumDiameterM: 0.7, centreDistanceM: 0.73 },
  roll: { diameterM: known(1), coreDiameterM: 0, bulkDensityKgPerM3: known(650) },
  riderLoadNPerM: known(0),
  webArrivesAt: 'back drum',
};

const withDiameter = (winder: TwoDrumWinder, diameterM: number): TwoDrumWinder => ({
  ...winder,
  roll: { ...winder.roll, diameterM: known(diameterM) },
});

describe('the mass of a roll', () => {
  it('is density times ring area times width, plus the core', () => {
    // Own arithmetic: 650 x pi/4 x (1.0^2 - 0.1^2) = 505.41 kg/m.
    const roll = {
      diameterM: known(1),
      coreDiameterM: 0.1,
      bulkDensityKgPerM3: known(650),
      coreMassKgPerM: 5,
    };
    expect(valueIn(rollMassPerWidth(roll))).toBeCloseTo(505.405 + 5, 2);
    expect(valueIn(rollMass(roll, 2.5))).toBeCloseTo(2.5 * 510.405, 1);
  });

  it('has the density of grammage over caliper', () => {
    const density = bulkDensity({ grammageKgPerM2: 0.045, caliperM: 68e-6 });
    expect(density.value).toBeCloseTo(661.76, 2);
    expect(density.uncertainty / density.value).toBeCloseTo(0.03, 12);
  });

  it('is that of the web wound in: length times grammage', () => {
    // Length = pi/4 (D^2 - d^2)/caliper: conservation of volume.
    fc.assert(
      fc.property(
        fc.double({ min: 0.2, max: 1.5, noNaN: true }),
        fc.double({ min: 10e-6, max: 400e-6, noNaN: true }),
        fc.double({ min: 0.01, max: 0.3, noNaN: true }),
        (diameterM, caliperM, grammageKgPerM2) => {
          fc.pre(grammageKgPerM2 / caliperM < 20_000 && grammageKgPerM2 / caliperM > 50);
          const lengthM = ((Math.PI / 4) * (diameterM ** 2 - 0.1 ** 2)) / caliperM;
          const bulkDensityKgPerM3 = bulkDensity({ grammageKgPerM2, caliperM });
          const mass = rollMassPerWidth({
            diameterM: known(diameterM),
            coreDiameterM: 0.1,
            bulkDensityKgPerM3,
          });
          expect(valueIn(mass) / (lengthM * grammageKgPerM2)).toBeCloseTo(1, 9);
          expect(uncertaintyIn(mass) / valueIn(mass)).toBeCloseTo(0.03, 6);
        },
      ),
    );
  });

  it('refuses a roll smaller than its core and passes on what is not known', () => {
    const roll = { diameterM: known(0.05), coreDiameterM: 0.1, bulkDensityKgPerM3: known(650) };
    expect(() => rollMassPerWidth(roll)).toThrow('diameterM: 0.1 to 5 m is needed, got 0.05 m');
    const why = unknown(reason('no-diameter', 'no diameter'));
    expect(rollMass({ ...roll, diameterM: why }, 1)).toBe(why);
    expect(() => rollMass({ ...roll, diameterM: known(1) }, 0)).toThrow('widthM: ');
    expect(() => bulkDensity({ grammageKgPerM2: 0.045, caliperM: 1 })).toThrow('caliperM: ');
  });
});

describe('the loads of a two-drum winder', () => {
  it('share evenly on equal level drums: (W + F)/(2 cos b)', () => {
    // Own arithmetic: sin b = 0.365/0.85 = 0.429412, cos b = 0.903113; W = 650 x pi/4 x 9.80665 = 5006.4 N/m.
    const load = twoDrumLoad(level);
    expect(valueIn(load.weightNPerM)).toBeCloseTo(5006.4, 1);
    expect(valueIn(load.backDrumNPerM)).toBeCloseTo(5006.4 / (2 * 0.903113), 0);
    expect(valueIn(load.frontDrumNPerM)).toBeCloseTo(valueIn(load.backDrumNPerM), 6);
    const ridden = twoDrumLoad({ ...level, riderLoadNPerM: known(2000) });
    expect(valueIn(ridden.backDrumNPerM)).toBeCloseTo(7006.4 / (2 * 0.903113), 0);
  });

  it('follow the law of sines of three forces on unequal drums at unequal heights', () => {
    // Lami's theorem (textbook statics): each force is to the sine of the angle between the other two as the others are. Angles from the triangle of the axes by the law of cosines.
    const drum = fc.double({ min: 0.4, max: 1.1, noNaN: true });
    const diameter = fc.double({ min: 0.5, max: 1.5, noNaN: true });
    const tilt = fc.double({ min: -0.15, max: 0.15, noNaN: true });
    fc.assert(
      fc.property(drum, drum, diameter, tilt, (back, front, d, rise) => {
        const centre = (back + front) / 2 + 0.03;
        const load = twoDrumLoad({
          ...withDiameter(level, d),
          drums: {
            backDrumDiameterM: back,
            frontDrumDiameterM: front,
            centreDistanceM: centre,
            frontDrumHigherM: centre * Math.sin(rise),
          },
        });
        const [b, f] = [(back + d) / 2, (front + d) / 2];
        const atBack = Math.acos((b * b + centre * centre - f * f) / (2 * b * centre));
        const atFront = Math.acos((f * f + centre * centre - b * b) / (2 * f * centre));
        // Inclination of the lines of force to the vertical, each towards the other drum.
        const [backLean, frontLean] = [Math.PI / 2 - atBack - rise, Math.PI / 2 - atFront + rise];
        fc.pre(backLean > 0.02 && frontLean > 0.02);
        const weight = (g * 650 * Math.PI * d * d) / 4;
        const total = Math.sin(backLean + frontLean);
        expect(valueIn(load.backDrumNPerM) / ((weight * Math.sin(frontLean)) / total)).toBeCloseTo(1, 8);
        expect(valueIn(load.frontDrumNPerM) / ((weight * Math.sin(backLean)) / total)).toBeCloseTo(1, 8);
      }),
    );
  });

  it('carry weight and rider load together: their vertical parts add up to it', () => {
    const ridden = { ...level, riderLoadNPerM: known(3000), riderAngleRad: 0.3 };
    const load = twoDrumLoad(ridden);
    const cosine = Math.sqrt(1 - (0.365 / 0.85) ** 2);
    const vertical = (valueIn(load.backDrumNPerM) + valueIn(load.frontDrumNPerM)) * cosine;
    expect(vertical).toBeCloseTo(5006.4 + 3000 * Math.cos(0.3), 0);
    // A rider towards the front pushes the roll on the back drum.
    expect(valueIn(load.backDrumNPerM)).toBeGreaterThan(valueIn(load.frontDrumNPerM));
  });

  it('grow with the roll, on the way to the square of its diameter', () => {
    let before = 0;
    for (let d = 0.3; d <= 1.5; d += 0.05) {
      const load = valueIn(twoDrumLoad(withDiameter(level, d)).backDrumNPerM);
      expect(load).toBeGreaterThan(before);
      before = load;
    }
    const [small, large] = [0.9, 1.35].map((d) => valueIn(twoDrumLoad(withDiameter(level, d)).backDrumNPerM));
    // A little less than 2: the wedge opens as the roll grows.
    const exponent = Math.log(large! / small!) / Math.log(1.5);
    expect(exponent).toBeGreaterThan(1.8);
    expect(exponent).toBeLessThan(2);
  });

  it('are larger than half the weight deep in the wedge', () => {
    const load = twoDrumLoad(withDiameter(level, 0.15));
    expect(valueIn(load.backDrumNPerM) / valueIn(load.weightNPerM)).toBeGreaterThan(0.75);
  });

  it('name the nip that keeps air out: the one where the web arrives', () => {
    const drums = { ...level.drums, frontDrumDiameterM: 0.5, centreDistanceM: 0.63 };
    const atBack = twoDrumLoad({ ...level, drums });
    const atFront = twoDrumLoad({ ...level, drums, webArrivesAt: 'front drum' });
    expect(atBack.excludesAir).toBe('back drum');
    expect(atBack.excludingLoadNPerM).toEqual(atBack.backDrumNPerM);
    expect(atFront.excludingLoadNPerM).toEqual(atBack.frontDrumNPerM);
    expect(valueIn(atFront.excludingLoadNPerM)).not.toBeCloseTo(valueIn(atBack.excludingLoadNPerM), -1);
  });

  it('say that tangential forces are left out, and take their band into the uncertainty', () => {
    expect(twoDrumLoad(level).neglected.code).toBe('tangential-forces-neglected');
    expect(uncertaintyIn(twoDrumLoad(level).backDrumNPerM)).toBe(0);
    // Own arithmetic, equal drums, angle 2b between the lines: a force t along one face changes that drum by t cot 2b and the other by t/sin 2b; each even over +-t.
    const load = twoDrumLoad({ ...level, tangentialForceNPerM: 400 });
    const b = Math.asin(0.365 / 0.85);
    const expected = (400 / Math.sqrt(3)) * Math.hypot(1 / Math.tan(2 * b), 1 / Math.sin(2 * b));
    expect(uncertaintyIn(load.backDrumNPerM)).toBeCloseTo(expected, 6);
    expect(uncertaintyIn(load.frontDrumNPerM)).toBeCloseTo(expected, 6);
  });

  it('carry the uncertainties of density, rider load and diameter', () => {
    const roll = { ...level.roll, bulkDensityKgPerM3: known(650, 32.5) };
    const byDensity = twoDrumLoad({ ...level, roll }).backDrumNPerM;
    expect(uncertaintyIn(byDensity) / valueIn(byDensity)).toBeCloseTo(0.05, 6);
    const byRider = twoDrumLoad({ ...level, riderLoadNPerM: known(1000, 100) }).backDrumNPerM;
    expect(uncertaintyIn(byRider)).toBeCloseTo(100 / (2 * 0.903113), 2);
    const byDiameter = twoDrumLoad({
      ...level,
      roll: { ...level.roll, diameterM: known(1, 0.01) },
    }).backDrumNPerM;
    expect(uncertaintyIn(byDiameter) / valueIn(byDiameter)).toBeGreaterThan(0.017);
    expect(uncertaintyIn(byDiameter) / valueIn(byDiameter)).toBeLessThan(0.02);
  });

  it('are not known for a roll that falls between the drums, that leaves one, or whose diameter is not known', () => {
    const drums = { ...level.drums, centreDistanceM: 1 };
    expect(twoDrumLoad({ ...withDiameter(level, 0.25), drums }).backDrumNPerM).toMatchObject({
      because: { code: 'roll-between-drums', text: 'a roll of 250 mm does not lie on both drums' },
    });
    const pushed = twoDrumLoad({ ...level, riderLoadNPerM: known(20_000), riderAngleRad: 1.2 });
    expect(pushed.frontDrumNPerM).toMatchObject({
      because: { code: 'roll-leaves-drum', params: { drum: 'front drum' } },
    });
    expect(pushed.excludingLoadNPerM).toEqual(pushed.frontDrumNPerM);
    const why = unknown(reason('no-diameter', 'no diameter'));
    const unknownRoll = twoDrumLoad({ ...level, roll: { ...level.roll, diameterM: why } });
    expect(unknownRoll.backDrumNPerM).toBe(why);
    expect(unknownRoll.weightNPerM).toBe(why);
  });

  it.each([
    ['backDrumDiameterM', { drums: { ...level.drums, backDrumDiameterM: 0 } }],
    ['centreDistanceM', { drums: { ...level.drums, centreDistanceM: 0.6 } }],
    ['frontDrumHigherM', { drums: { ...level.drums, frontDrumHigherM: 1 } }],
    ['riderLoadNPerM', { riderLoadNPerM: known(-5) }],
    ['riderAngleRad', { riderAngleRad: 45 }],
    ['tangentialForceNPerM', { tangentialForceNPerM: NaN }],
    ['bulkDensityKgPerM3', { roll: { ...level.roll, bulkDensityKgPerM3: known(0) } }],
  ])('refuse %s that cannot be', (name, change: Partial<TwoDrumWinder>) => {
    expect(() => twoDrumLoad({ ...level, ...change })).toThrow(RangeError);
    expect(() => twoDrumLoad({ ...level, ...change })).toThrow(`${name}: `);
  });
});
