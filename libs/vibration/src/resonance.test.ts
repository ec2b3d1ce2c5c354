import { describe, expect, it } from 'vitest';
import { liftOffSpeed, onsetAmplitude } from './bounce-onset.js';
import { naturalFrequency, resonanceDiameters, rotationFrequency } from './resonance.js';

describe('where a build may resonate', () => {
  it('turns at V / (pi D) (own arithmetic, five figures)', () => {
    const rows = [
      [5, 0.3, 5.3052],
      [10, 0.5, 6.3662],
      [20, 0.5, 12.732],
      [25, 1.0, 7.9577],
      [30, 1.2, 7.9577],
      [40, 1.5, 8.4883],
    ] as const;
    for (const [speed, diameter, frequency] of rows)
      expect(Math.abs(rotationFrequency(speed, diameter) / frequency - 1)).toBeLessThan(5e-5);
  });

  it('meets the natural frequency at D = n V / (pi f) (own arithmetic, four decimals)', () => {
    const rows = [
      [20, 12, [0.5305, 1.061, 1.5915, 2.1221]],
      [10, 8, [0.3979, 0.7958, 1.1937, 1.5915]],
      [30, 15, [0.6366, 1.2732, 1.9099, 2.5465]],
    ] as const;
    for (const [speedMPerS, naturalFrequencyHz, diameters] of rows) {
      const found = resonanceDiameters({
        speedMPerS,
        naturalFrequencyHz,
        fromDiameterM: 0.1,
        toDiameterM: diameters[3] + 0.01,
      });
      expect(found.map(({ order }) => order)).toEqual([1, 2, 3, 4]);
      for (const [k, diameterM] of diameters.entries())
        expect(Math.abs(found[k]!.diameterM - diameterM)).toBeLessThan(5.1e-5);
      for (const { order, diameterM } of found)
        expect(order * rotationFrequency(speedMPerS, diameterM)).toBeCloseTo(naturalFrequencyHz, 9);
    }
  });

  it('looks within the build only', () => {
    const build = { speedMPerS: 20, naturalFrequencyHz: 12 };
    expect(
      resonanceDiameters({ ...build, fromDiameterM: 0.6, toDiameterM: 1.2 }).map(({ order }) => order),
    ).toEqual([2]);
    expect(resonanceDiameters({ ...build, fromDiameterM: 0.6, toDiameterM: 1.0 })).toEqual([]);
    expect(() =>
      resonanceDiameters({ ...build, naturalFrequencyHz: 0, fromDiameterM: 0.6, toDiameterM: 1 }),
    ).toThrow('naturalFrequencyHz: a finite number > 0 Hz is needed, got 0 Hz');
  });

  it('takes the natural frequency from contact stiffness and mass (own arithmetic, five figures)', () => {
    expect(Math.abs(naturalFrequency(1.073e7, 200) / 36.864 - 1)).toBeLessThan(2e-5);
    expect(Math.abs(naturalFrequency(9.94e6, 400) / 25.089 - 1)).toBeLessThan(2e-5);
  });
});

describe('where bounce sets in, by formula', () => {
  it('throws a rigid nip off at the speeds of a table by own arithmetic', () => {
    expect(
      Math.abs(liftOffSpeed({ massKg: 200, staticForceN: 1500, diameterM: 0.5 }, 0.0005) / 30.619 - 1),
    ).toBeLessThan(2e-5);
    expect(
      Math.abs(liftOffSpeed({ massKg: 80, staticForceN: 600, diameterM: 0.3 }, 0.0002) / 29.047 - 1),
    ).toBeLessThan(2e-5);
  });

  it('needs the amplitudes of a table by own arithmetic', () => {
    const rows = [
      {
        massKg: 200,
        staticForceN: 1500,
        frequencyHz: 12.732,
        stiffnessNPerM: 1.073e7,
        soft: 1.03215e-3,
        rigid: 1.17195e-3,
      },
      {
        massKg: 200,
        staticForceN: 1500,
        frequencyHz: 25,
        stiffnessNPerM: 1.073e7,
        soft: 0.164169e-3,
        rigid: 0.303964e-3,
      },
      {
        massKg: 400,
        staticForceN: 4000,
        frequencyHz: 8,
        stiffnessNPerM: 9.94e6,
        soft: 3.55544e-3,
        rigid: undefined,
      },
    ];
    for (const { massKg, staticForceN, frequencyHz, stiffnessNPerM, soft, rigid } of rows) {
      expect(
        Math.abs(onsetAmplitude({ massKg, staticForceN, frequencyHz, stiffnessNPerM }) / soft - 1),
      ).toBeLessThan(1e-5);
      if (rigid !== undefined)
        expect(Math.abs(onsetAmplitude({ massKg, staticForceN, frequencyHz }) / rigid - 1)).toBeLessThan(
          1e-5,
        );
    }
  });

  it('agrees with the speed at which a rigid nip is thrown off', () => {
    const speed = liftOffSpeed({ massKg: 200, staticForceN: 1500, diameterM: 0.5 }, 0.0005);
    expect(
      onsetAmplitude({ massKg: 200, staticForceN: 1500, frequencyHz: rotationFrequency(speed, 0.5) }),
    ).toBeCloseTo(0.0005, 12);
  });
});
