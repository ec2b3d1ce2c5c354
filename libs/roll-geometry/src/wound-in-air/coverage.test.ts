import { type Quantity } from '@edge-margin/units';
import { describe, expect, it } from 'vitest';
import { measure, randomNumbers, windRoll } from './fixtures/measured-rolls.js';

/**
 * Rolls drawn at random over the range of real winders, each with instruments whose errors are drawn from what is stated of them. One look at each, at its
 * end, so that the looks are independent.
 */
const rolls = 800;

interface Look {
  readonly air: boolean | null;
  readonly change: boolean | null;
  readonly noiseDeviations: number | null;
  readonly conclusive: boolean;
}

function lookAt(seed: number): Look {
  const { uniform, normal } = randomNumbers(seed + 10_000);
  const between = (low: number, high: number) => low * (high / low) ** uniform();
  const statedM = between(12e-6, 100e-6);
  const noiseM = between(0.05e-3, 0.5e-3);
  const airM = uniform() < 0.7 ? between(0.5e-6, 5e-6) : between(50e-6, 300e-6);
  const ratios = {
    caliper: between(0.005, 0.05),
    scale: between(0.0003, 0.003),
    length: between(0.0005, 0.005),
  };
  const errors = {
    caliper: ratios.caliper * normal(),
    scale: ratios.scale * normal(),
    length: ratios.length * normal(),
  };
  const caliperM = statedM * (1 + errors.caliper);
  const zeroM = noiseM * normal();
  const over = uniform() < 0.5 ? 'length' : 'wraps';
  const cells = windRoll(
    {
      caliperM,
      airM: () => airM,
      fromDiameterM: between(0.1, 0.8),
      speedMPerS: between(3, 40),
      seconds: 40 + Math.floor(260 * uniform()),
      noiseM,
      gaugeScale: errors.scale,
      gaugeZeroM: zeroM,
      lengthScale: errors.length,
    },
    seed,
  );
  const last = measure(cells, {
    caliperM: statedM,
    caliperUncertaintyRatio: ratios.caliper,
    gaugeUncertaintyM: noiseM,
    gaugeScaleUncertaintyRatio: ratios.scale,
    lengthUncertaintyRatio: ratios.length,
    filmToSeeM: Math.max(airM, 0.05 * statedM),
    over,
  }).at(-1);
  if (last === undefined) throw new Error('no cell');
  const { measured } = last;
  const { diameterM = 1 } = cells.at(-1) ?? {};
  const calibration =
    over === 'length'
      ? (1 + errors.scale) ** 2 * (1 + zeroM / diameterM) * (1 / (1 + errors.length))
      : 1 + errors.scale;
  const toSee = (caliperM + airM) * calibration - statedM;
  return {
    air: covers(measured.airThicknessM, airM),
    change: covers(measured.changeSinceM, 0),
    noiseDeviations:
      measured.airThicknessM.kind === 'known'
        ? (measured.airThicknessM.value - toSee) / (measured.contributions?.noiseM ?? 0)
        : null,
    conclusive: measured.verdict === 'conclusive',
  };
}

/** Whether the truth lies within two standard uncertainties; null where nothing was told. */
function covers(told: Quantity, truth: number): boolean | null {
  return told.kind === 'known' ? Math.abs(told.value - truth) <= 2 * told.uncertainty : null;
}

const share = (told: readonly (boolean | null)[]) => {
  const those = told.filter((each) => each !== null);
  return { ratio: those.filter(Boolean).length / those.length, count: those.length };
};

/** Lower end of the one-sided 95 % interval of a share (E. B. Wilson 1927, J. Am. Stat. Assoc. 22, 209). */
function atLeast({ ratio, count }: { readonly ratio: number; readonly count: number }): number {
  const z = 1.645;
  const spread = z * Math.sqrt((ratio * (1 - ratio)) / count + z ** 2 / (4 * count ** 2));
  return (ratio + z ** 2 / (2 * count) - spread) / (1 + z ** 2 / count);
}

describe('the stated uncertainty', () => {
  const looks = Array.from({ length: rolls }, (_, seed) => lookAt(seed + 1));

  it('covers the true air, at two standard uncertainties, in at least 93 of 100 rolls, sure to 95 %', () => {
    const found = share(looks.map(({ air }) => air));
    expect(found.count).toBeGreaterThan(0.95 * rolls);
    expect(atLeast(found), JSON.stringify(found)).toBeGreaterThan(0.93);
  });

  it('covers the change of a film that does not change as often', () => {
    const found = share(looks.map(({ change }) => change));
    expect(found.count).toBeGreaterThan(0.5 * rolls);
    expect(atLeast(found), JSON.stringify(found)).toBeGreaterThan(0.93);
  });

  it('holds for the noise alone, neither too small nor much too large', () => {
    const deviations = looks.map(({ noiseDeviations }) => noiseDeviations).filter((each) => each !== null);
    const meanSquare = deviations.reduce((sum, each) => sum + each ** 2, 0) / deviations.length;
    // 1 if exact; below it by what Birge's ratio and the larger of stated and seen scatter add.
    expect(Math.sqrt(meanSquare)).toBeGreaterThan(0.8);
    expect(Math.sqrt(meanSquare)).toBeLessThan(1.1);
    const mean = deviations.reduce((sum, each) => sum + each, 0) / deviations.length;
    // No bias: three standard deviations of a mean of so many.
    expect(Math.abs(mean)).toBeLessThan(3 / Math.sqrt(deviations.length));
  });

  it('is not bought by never concluding', () => {
    expect(looks.filter(({ conclusive }) => conclusive).length / rolls).toBeGreaterThan(0.5);
  });
}, 60_000);
