import { type Known, type Quantity, known, reason, unknown } from '@edge-margin/units';
import { describe, expect, it } from 'vitest';
import { type RollToWind, measure, randomNumbers, windRoll } from './fixtures/measured-rolls.js';

/** Invented rolls, read to 0.3 mm. */
const film: RollToWind = {
  caliperM: 12e-6,
  airM: () => 1.4e-6,
  fromDiameterM: 0.15,
  speedMPerS: 5,
  seconds: 600,
  noiseM: 0.3e-3,
};
const paper: RollToWind = {
  caliperM: 50e-6,
  airM: () => 4e-6,
  fromDiameterM: 0.5,
  speedMPerS: 30,
  seconds: 450,
  noiseM: 0.3e-3,
};
const upsetAt = 350;
const rolls = 20;

type Gauge = (seed: number) => (diameterM: number, second: number) => Quantity;
const missing = unknown(reason('missing', 'no reading'));

/** Worst error of the air over all cells from 150 on where it was told conclusively, and what else happened. */
function outcome(roll: RollToWind, gauge: Gauge, gaugeUncertaintyM = 0.3e-3) {
  const found = { worstM: 0, conclusive: 0, cells: 0, unknowns: 0, ended: 0, refused: 0, worstDeviations: 0 };
  for (let seed = 1; seed <= rolls; seed += 1) {
    const cells = windRoll({ ...roll, gauge: gauge(seed) }, seed);
    const steps = measure(cells, {
      caliperM: roll.caliperM,
      caliperUncertaintyRatio: 0.03,
      gaugeUncertaintyM,
      lengthUncertaintyRatio: 0.002,
      filmToSeeM: roll.airM(0),
    });
    for (const { measured, stretchEnded, notUsed } of steps.slice(150)) {
      found.cells += 1;
      found.ended += stretchEnded === null ? 0 : 1;
      found.refused += notUsed === null ? 0 : 1;
      if (measured.airThicknessM.kind === 'unknown') {
        found.unknowns += 1;
        continue;
      }
      const errorM = Math.abs(measured.airThicknessM.value - roll.airM(0));
      found.worstDeviations = Math.max(found.worstDeviations, errorM / (measured.contributions?.noiseM ?? 0));
      if (measured.verdict !== 'conclusive') continue;
      found.conclusive += 1;
      found.worstM = Math.max(found.worstM, errorM);
    }
  }
  return { ...found, conclusiveRatio: found.conclusive / found.cells };
}

const undisturbed: Gauge = () => known;
const stepped =
  (byM: number): Gauge =>
  () =>
  (diameterM, second) =>
    known(second >= upsetAt ? diameterM + byM : diameterM);
const often =
  (share: number, read: (diameterM: number, normal: number) => Quantity): Gauge =>
  (seed) => {
    const { uniform, normal } = randomNumbers(seed + 777);
    return (diameterM) => (uniform() < share ? read(diameterM, normal()) : known(diameterM));
  };
/** The reading at the beginning of an upset, as the gauge holds it. */
const frozen: Gauge = () => {
  let held: Known | null = null;
  return (diameterM, second) => {
    if (second < upsetAt || second >= upsetAt + 60) return known(diameterM);
    held ??= known(diameterM);
    return held;
  };
};
/** An out-of-round roll, looked at once a second. */
const outOfRound =
  (amplitudeM: number, { speedMPerS }: RollToWind): Gauge =>
  () => {
    let turns = 0;
    return (diameterM) => {
      turns += speedMPerS / (Math.PI * diameterM);
      return known(diameterM + amplitudeM * Math.sin(2 * Math.PI * turns));
    };
  };

describe.each([
  ['film', film],
  ['paper', paper],
] as const)('a roll of %s', (_, roll) => {
  // Worst of all cells that claim to be conclusive: 9 000 for film, 6 000 for paper, so about four deviations of noise even where nothing is wrong.
  const filmM = roll.airM(0);

  it('without any upset is conclusive throughout, with no stretch ended', () => {
    const found = outcome(roll, undisturbed);
    expect(found.conclusiveRatio).toBeGreaterThan(0.99);
    expect([found.ended, found.refused]).toEqual([0, 0]);
    expect(found.worstM).toBeLessThan(0.5 * filmM);
  });

  it.each([
    ['a tenth of the readings off by 50 mm at random', often(0.1, (d, normal) => known(d + 0.05 * normal))],
    ['a fifth of the readings off by 50 mm at random', often(0.2, (d, normal) => known(d + 0.05 * normal))],
    ['a fifth missing', often(0.2, () => missing)],
    ['a tenth reading zero', often(0.1, () => known(0))],
    ['a tenth reading next to nothing', often(0.1, () => known(1e-6))],
  ] as const)('measures as well with %s', (__, gauge) => {
    const found = outcome(roll, gauge);
    expect(found.conclusiveRatio).toBeGreaterThan(0.97);
    expect(found.worstM).toBeLessThan(0.5 * filmM);
  });

  it('is off by less than its film with a tenth of the readings high by 2 mm', () => {
    const found = outcome(
      roll,
      often(0.1, (d) => known(d + 0.002)),
    );
    expect(found.conclusiveRatio).toBeGreaterThan(0.95);
    expect(found.worstM).toBeLessThan(filmM);
  });

  it.each([0.003, -0.003, 0.005])(
    'takes a gauge that is moved by %d m for what it is, and begins another stretch',
    (byM) => {
      const found = outcome(roll, stepped(byM));
      expect(found.ended).toBe(rolls);
      expect(found.conclusiveRatio).toBeGreaterThan(0.85);
      // An honest short stretch after the step: larger errors, at the stated uncertainty.
      expect(found.worstM).toBeLessThan(2 * filmM);
      expect(found.worstDeviations).toBeLessThan(6);
    },
  );

  it.each([0.001, -0.001, 0.0005, 0.0003])(
    'is never off by more than 1.6 films, conclusively, by a step of the gauge of %d m, below what tells itself at once',
    (byM) => {
      expect(outcome(roll, stepped(byM)).worstM).toBeLessThan(1.6 * filmM);
    },
  );

  it('has no air to tell while the gauge is frozen, and finds back', () => {
    const found = outcome(roll, frozen);
    expect(found.unknowns).toBeGreaterThan(20 * rolls);
    expect(found.worstM).toBeLessThan(1.6 * filmM);
    expect(found.ended).toBeGreaterThanOrEqual(rolls);
  });

  it('measures as well by a gauge that reads in whole millimetres and says so', () => {
    const coarse: Gauge = () => (d) => known(Math.round(1000 * d) / 1000);
    const found = outcome(roll, coarse, 0.42e-3);
    expect(found.worstM).toBeLessThan(0.6 * filmM);
    expect(found.conclusiveRatio).toBeGreaterThan(0.97);
  });

  it('bears an out-of-round roll that is looked at once a second', () => {
    const found = outcome(roll, outOfRound(0.5e-3, roll), Math.hypot(0.3e-3, 0.5e-3 / Math.SQRT2));
    expect(found.worstM).toBeLessThan(filmM);
    expect(found.conclusiveRatio).toBeGreaterThan(0.9);
  });

  it('bears a gauge that scatters four times as stated', () => {
    const found = outcome({ ...roll, noiseM: 1.2e-3 }, undisturbed);
    expect(found.worstM).toBeLessThan(0.6 * filmM);
    expect(found.ended).toBeLessThan(rolls / 4);
  });
});

describe('a gauge that wanders slowly by more than stated', () => {
  it('is doubted where its stretches keep ending', () => {
    const wandering: Gauge = () => (d, second) => known(d + 0.0006 * Math.sin((2 * Math.PI * second) / 100));
    const found = outcome(film, wandering);
    // What is wrong for longer than a stretch looks like air: the uncertainty does not hold it, the verdict must.
    expect(found.conclusiveRatio).toBeLessThan(0.5);
    expect(found.ended).toBeGreaterThan(5 * rolls);
  });
});
