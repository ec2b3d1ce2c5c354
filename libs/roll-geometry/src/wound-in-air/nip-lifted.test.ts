import { describe, expect, it } from 'vitest';
import { type MeasuredCell, measure, windRoll } from './fixtures/measured-rolls.js';
import type { WoundInAirStep } from './wound-in-air-types.js';

/** Invented winders: what is wound, from which diameter, how fast, read how well. */
interface Trial {
  readonly name: string;
  readonly caliperM: number;
  readonly fromDiameterM: number;
  readonly speedMPerS: number;
  readonly noiseM: number;
  readonly seconds: number;
}

const trials: readonly (Trial & { readonly followedWithinM: number })[] = [
  {
    name: '12 um film, 0.5 mm gauge',
    caliperM: 12e-6,
    fromDiameterM: 0.15,
    speedMPerS: 5,
    noiseM: 0.5e-3,
    seconds: 500,
    followedWithinM: 75,
  },
  {
    name: '12 um film, 0.05 mm gauge',
    caliperM: 12e-6,
    fromDiameterM: 0.15,
    speedMPerS: 5,
    noiseM: 0.05e-3,
    seconds: 500,
    followedWithinM: 50,
  },
  {
    name: '20 um film, 0.5 mm gauge',
    caliperM: 20e-6,
    fromDiameterM: 0.3,
    speedMPerS: 8,
    noiseM: 0.5e-3,
    seconds: 400,
    followedWithinM: 125,
  },
  {
    name: '50 um paper, 0.5 mm gauge',
    caliperM: 50e-6,
    fromDiameterM: 0.8,
    speedMPerS: 30,
    noiseM: 0.5e-3,
    seconds: 250,
    followedWithinM: 325,
  },
  {
    name: '50 um paper, 0.2 mm gauge',
    caliperM: 50e-6,
    fromDiameterM: 0.8,
    speedMPerS: 30,
    noiseM: 0.2e-3,
    seconds: 250,
    followedWithinM: 250,
  },
  {
    name: '100 um paper, 0.5 mm gauge',
    caliperM: 100e-6,
    fromDiameterM: 1.2,
    speedMPerS: 25,
    noiseM: 0.5e-3,
    seconds: 250,
    followedWithinM: 375,
  },
  {
    name: '65 um paper at 40 m/s, 0.1 mm gauge',
    caliperM: 65e-6,
    fromDiameterM: 1,
    speedMPerS: 40,
    noiseM: 0.1e-3,
    seconds: 250,
    followedWithinM: 325,
  },
];

const trialCount = 30;

/** The nip is lifted for 500 m: the film jumps from 2 um to 50 um and back. */
function lifted(trial: Trial, seed: number) {
  const fromM = Math.floor(0.6 * trial.seconds) * trial.speedMPerS;
  const airM = (lengthM: number) => (lengthM >= fromM && lengthM < fromM + 500 ? 50e-6 : 2e-6);
  const cells = windRoll({ ...trial, airM }, seed);
  const config = {
    caliperM: trial.caliperM,
    caliperUncertaintyRatio: 0.03,
    gaugeUncertaintyM: trial.noiseM,
    lengthUncertaintyRatio: 0.002,
    filmToSeeM: 2e-6,
  };
  return { fromM, cells, steps: measure(cells, config) };
}

/** Length of web from a place on to the first cell of which something holds. */
function lengthUntil(
  { cells, steps }: { readonly cells: readonly MeasuredCell[]; readonly steps: readonly WoundInAirStep[] },
  fromM: number,
  holds: (step: WoundInAirStep) => boolean,
): number {
  const index = cells.findIndex(({ lengthM }, each) => {
    const step = steps[each];
    return lengthM > fromM && step !== undefined && holds(step);
  });
  return (cells[index]?.lengthM ?? Infinity) - fromM;
}

const beyondHalf = ({ measured: { airThicknessM: air } }: WoundInAirStep) =>
  air.kind === 'known' && air.value > 26e-6 && air.value > 4 * air.uncertainty;
const backAgain = ({ measured: { airThicknessM: air } }: WoundInAirStep) =>
  air.kind === 'known' && air.value < 10e-6 && air.uncertainty < 6e-6;
const surelyMore = ({ measured: { changeSinceM: change } }: WoundInAirStep) =>
  change.kind === 'known' && change.value > 4 * change.uncertainty;

describe('a nip that is lifted on purpose for 500 m', () => {
  it.each(trials)('is followed within $followedWithinM m of $name, and back as well', (trial) => {
    for (let seed = 1; seed <= trialCount; seed += 1) {
      const roll = lifted(trial, seed);
      const figures = {
        seed,
        followedM: lengthUntil(roll, roll.fromM, beyondHalf),
        changeSeenM: lengthUntil(roll, roll.fromM, surelyMore),
        backM: lengthUntil(roll, roll.fromM + 500, backAgain),
      };
      expect(figures.followedM, JSON.stringify(figures)).toBeLessThanOrEqual(trial.followedWithinM);
      expect(figures.changeSeenM, JSON.stringify(figures)).toBeLessThanOrEqual(trial.followedWithinM + 50);
      expect(figures.backM, JSON.stringify(figures)).toBeLessThanOrEqual(500);
    }
  });

  it('is told as what ended the stretch, and no change is told before', () => {
    for (const trial of trials) {
      const roll = lifted(trial, 1);
      const ended = lengthUntil(roll, 0, ({ stretchEnded }) => stretchEnded?.code === 'left-the-line');
      expect(ended, trial.name).toBeGreaterThan(roll.fromM);
      expect(lengthUntil(roll, 0, surelyMore), trial.name).toBeGreaterThan(roll.fromM);
    }
  });
});

describe('a film that changes by little', () => {
  // The caliper's uncertainty, 0.36 um here, hides much of the film, but not its change.
  it('from 1.4 to 3 um shows as a change within 350 m of 12 um film, read to 0.2 mm', () => {
    for (let seed = 1; seed <= trialCount; seed += 1) {
      const airM = (lengthM: number) => (lengthM >= 1500 ? 3e-6 : 1.4e-6);
      const cells = windRoll(
        { caliperM: 12e-6, airM, fromDiameterM: 0.15, speedMPerS: 5, noiseM: 0.2e-3, seconds: 400 },
        seed,
      );
      const steps = measure(cells, {
        caliperM: 12e-6,
        caliperUncertaintyRatio: 0.03,
        gaugeUncertaintyM: 0.2e-3,
        lengthUncertaintyRatio: 0.002,
        filmToSeeM: 1.4e-6,
      });
      expect(lengthUntil({ cells, steps }, 0, surelyMore) - 1500).toBeGreaterThan(0);
      expect(lengthUntil({ cells, steps }, 1500, surelyMore)).toBeLessThan(350);
    }
  });
});
