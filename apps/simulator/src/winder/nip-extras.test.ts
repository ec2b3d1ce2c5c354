import { describe, expect, it } from 'vitest';
import type { Nip, Wave } from '../scenario/scenario-schema.js';
import { nipMechanics } from './nip-mechanics.js';
import { moveNip, type NipState } from './nip-motion.js';
import type { PrintState } from './print.js';
import { moveRoller, resting } from './roller-motion.js';
import type { Stretch } from './stretch.js';
import { unbalancePushN } from './unbalance.js';
import { advanceWave, beginWave } from './wave-block.js';

const STEP_S = 5e-4;
const nip = {
  rollerDiameterM: 0.3,
  massKg: 200,
  stiffnessNPerM2: 4e6,
  dampingRatio: 0.05,
  rockInertiaRatio: 1,
  inboardMassRatio: 0,
  excitation: [],
  surfaceNoise: { rms: 0, timeS: 0.01 },
  guideFrictionN: 0,
  bearings: [],
  structureLines: [],
} as unknown as Nip;
const OMEGA_0 = Math.sqrt(4e6 / 200);

function stretch(speedMPerS: number, fromS: number, durationS: number, diameterM = 0.5): Stretch {
  const from = speedMPerS * fromS;
  const to = speedMPerS * (fromS + durationS);
  return {
    durationS,
    fromS,
    speedMPerS: { from: speedMPerS, to: speedMPerS },
    turns: { from: from / (Math.PI * diameterM), to: to / (Math.PI * diameterM) },
    lengthM: { from, to },
  };
}

function still(steps: number) {
  const empty = (): Float64Array => new Float64Array(2 * steps + 1);
  return { positionM: [empty(), empty()], velocityMPerS: [empty(), empty()] } as const;
}

describe('unbalance of the nip roller', () => {
  it.each([0.4, 0.8, 1.3])(
    'swings the load as a turning force on a single mass does, at %d of its natural frequency (textbook; 1 percent)',
    (ratio) => {
      const speed = (ratio * OMEGA_0 * nip.rollerDiameterM) / 2;
      const steps = Math.round(3 / STEP_S);
      const unbalanced = {
        ...nip,
        unbalance: { kgM: 0.05, phaseTurns: 0, driveRatio: 1, driveShiftTurns: 0 },
      };
      const mechanics = nipMechanics(nip, 1);
      const closingN = [5000, 5000] as const;
      const { trace } = moveRoller(
        {
          mechanics,
          surface: still(steps),
          closingN: { from: closingN, to: closingN },
          timeStepS: STEP_S,
          pushN: unbalancePushN(unbalanced, stretch(speed, 0, 3), steps)!,
        },
        resting(mechanics, closingN),
      );
      const late = trace.loadN[0].subarray(Math.floor(steps * 0.7));
      const swing = (Math.max(...late) - Math.min(...late)) / 2;
      const force = (0.05 / 2) * (ratio * OMEGA_0) ** 2;
      const damped = 2 * 0.05 * ratio;
      const expected = (force * Math.hypot(1, damped)) / Math.hypot(1 - ratio * ratio, damped);
      expect(Math.abs(swing / expected - 1)).toBeLessThan(0.01);
    },
  );
});

it('an unbalance of grade G 6.3 pushes as its grade says: 500 kg at 600 r/min, 50 133.8 g mm, 197.92 N (ISO 21940-11 formula, own arithmetic)', () => {
  const unbalanced = {
    ...nip,
    unbalance: { kgM: 0.0501338, phaseTurns: 0, driveRatio: 1, driveShiftTurns: 0 },
  };
  const speed = 10 * Math.PI * nip.rollerDiameterM;
  const push = unbalancePushN(unbalanced, stretch(speed, 0, 0.1), 100)!;
  expect(Math.abs((push[0][0]! + push[1][0]!) / 197.92 - 1)).toBeLessThan(1e-4);
  expect(Math.abs((push[0][50]! + push[1][50]!) / -197.92)).toBeLessThan(1e-4); // a quarter turn on
});

describe('friction in the guides', () => {
  it('takes 4 F/k off the amplitude at every cycle, as dry friction does (textbook; 3 %)', () => {
    const mechanics = { ...nipMechanics(nip, 1), dampingNSPerM: 0 };
    const closingN = [5000, 5000] as const;
    const rest = resting(mechanics, closingN);
    const steps = 2000;
    const pushed = { ...rest, positionM: [rest.positionM[0] - 1e-3, rest.positionM[1] - 1e-3] as const };
    const { trace } = moveRoller(
      {
        mechanics,
        surface: still(steps),
        closingN: { from: closingN, to: closingN },
        timeStepS: 1e-4,
        guideFrictionN: 50,
      },
      pushed,
    );
    const load = trace.loadN[0];
    const tops: number[] = [];
    for (let i = 1; i < steps - 1; i += 1)
      if (load[i]! > load[i - 1]! && load[i]! >= load[i + 1]!) tops.push(load[i]! - 5000);
    expect(tops.length).toBeGreaterThan(3);
    for (let i = 1; i < 4; i += 1) expect((tops[i - 1]! - tops[i]!) / (4 * 50)).toBeCloseTo(1, 1);
  });
});

describe('the print of the nip in the roll', () => {
  const selfExcited = { imprintRatio: 0.1, memoryRatio: 0.8, limitM: 1 };
  type Complex = readonly [re: number, im: number];
  const times = (a: Complex, b: Complex): Complex => [a[0] * b[0] - a[1] * b[1], a[0] * b[1] + a[1] * b[0]];
  const over = (a: Complex, b: Complex): Complex => {
    const size = b[0] ** 2 + b[1] ** 2;
    return [(a[0] * b[0] + a[1] * b[1]) / size, (a[1] * b[0] - a[0] * b[1]) / size];
  };

  /** `exp(s T) - memory + imprint H(s)`, H: indentation under a mass on spring and damper whose surface moves by 1. */
  function characteristic(s: Complex, turnS: number): Complex {
    const z: Complex = [s[0] / OMEGA_0, s[1] / OMEGA_0];
    const z2 = times(z, z);
    const damped: Complex = [1 + 2 * nip.dampingRatio * z[0], 2 * nip.dampingRatio * z[1]];
    const h = over(z2, [damped[0] + z2[0], damped[1] + z2[1]]);
    const e = Math.exp(s[0] * turnS);
    return [
      e * Math.cos(s[1] * turnS) - selfExcited.memoryRatio + selfExcited.imprintRatio * h[0],
      e * Math.sin(s[1] * turnS) + selfExcited.imprintRatio * h[1],
    ];
  }

  /** Growth per turn of the fastest of the patterns: the roots of the delay equation, by Newton's method. */
  function expectedGrowth(turnS: number): { readonly growth: number; readonly lobes: number } {
    let fastest: Complex = [-Infinity, 0];
    for (let n = 0.5; n < 20; n += 0.25) {
      let s: Complex = [0, (2 * Math.PI * n) / turnS];
      for (let i = 0; i < 60; i += 1) {
        const f = characteristic(s, turnS);
        const d = 1e-6 * OMEGA_0;
        const g = characteristic([s[0] + d, s[1]], turnS);
        const step = over(f, [(g[0] - f[0]) / d, (g[1] - f[1]) / d]);
        s = [s[0] - step[0], s[1] - step[1]];
      }
      if (Math.hypot(...characteristic(s, turnS)) < 1e-9 && s[1] > 0 && s[0] > fastest[0]) fastest = s;
    }
    return { growth: Math.exp(fastest[0] * turnS), lobes: Math.round((fastest[1] * turnS) / 2 / Math.PI) };
  }

  /** Growth of the print per turn, and how many lobes it has, when the turn lasts this long. */
  function grown(turnS: number) {
    const speed = (Math.PI * 0.5) / turnS;
    const steps = Math.round(turnS / 2.5e-4);
    const seeds = Array.from({ length: 512 }, (_, i) => 1e-13 * Math.sin(i * i));
    let state: NipState = {
      closedRatio: 1,
      closingN: [5000, 5000],
      roller: null,
      noise: { inner: [0, 0], outer: [0, 0], stream: [1, 2, 3, 4] },
      print: [seeds, seeds],
    };
    const sizes: number[] = [];
    for (let turn = 0; turn < 90; turn += 1) {
      const moved = moveNip({ ...nip, selfExcited }, 1, state, {
        stretch: stretch(speed, turn * turnS, turnS),
        closingN: [5000, 5000],
        closedRatio: 1,
        timeStepS: turnS / steps,
      });
      state = moved.state;
      sizes.push(Math.hypot(...state.print![0]));
    }
    return { growth: (sizes[89]! / sizes[49]!) ** (1 / 40), lobes: lobesOf(state.print!) };
  }

  function lobesOf(print: PrintState): number {
    const size = (n: number): number => {
      let [re, im] = [0, 0];
      print[0].forEach((h, i) => {
        re += h * Math.cos((2 * Math.PI * n * i) / 512);
        im += h * Math.sin((2 * Math.PI * n * i) / 512);
      });
      return Math.hypot(re, im);
    };
    const all = Array.from({ length: 20 }, (_, i) => size(i + 1));
    return all.indexOf(Math.max(...all)) + 1;
  }

  const PERIOD_S = (2 * Math.PI) / OMEGA_0;

  it.each([2.9, 3.1, 4.0, 5.45, 7.3])(
    'grows per turn of %d natural periods as the delay equation says (own derivation, its roots by Newton; 1 percent)',
    (periods) => {
      const turnS = periods * PERIOD_S;
      const { growth: expected } = expectedGrowth(turnS);
      expect(expected).toBeGreaterThan(1);
      expect(Math.abs(grown(turnS).growth / expected - 1), `expected ${expected}`).toBeLessThan(0.01);
    },
  );

  it('makes a polygon of as many lobes as natural periods fit into a turn, stepwise (published signature of roll bounce)', () => {
    const seen = [2.4, 3.4, 4.4, 5.4, 6.4, 7.4].map((periods) => {
      const { lobes } = grown(periods * PERIOD_S);
      expect(lobes).toBe(expectedGrowth(periods * PERIOD_S).lobes);
      return lobes;
    });
    expect(seen.slice(1).map((n, i) => n - seen[i]!)).toEqual([1, 1, 1, 1, 1]);
  });

  it('does not grow under a well damped cover', () => {
    const soft = { ...nip, dampingRatio: 0.5, selfExcited } as Nip;
    let state: NipState = {
      closedRatio: 1,
      closingN: [5000, 5000],
      roller: null,
      noise: { inner: [0, 0], outer: [0, 0], stream: [1, 2, 3, 4] },
      print: [0, 1].map(() =>
        Array.from({ length: 512 }, (_, i) => 1e-6 * Math.sin(i * i)),
      ) as unknown as PrintState,
    };
    const start = Math.hypot(...state.print![0]);
    for (let turn = 0; turn < 40; turn += 1) {
      const at = stretch((Math.PI * 0.5) / 0.2, turn * 0.2, 0.2);
      state = moveNip(soft, 1, state, {
        stretch: at,
        closingN: [5000, 5000],
        closedRatio: 1,
        timeStepS: STEP_S,
      }).state;
    }
    expect(Math.hypot(...state.print![0])).toBeLessThan(start / 100);
  });
});

describe('wave forms', () => {
  const wave = { rateHz: 2000, lengthS: 1, everyS: 5, noiseMPerS2: 0, gain: 1, load: true } as Wave;
  const mechanics = nipMechanics({ ...nip, inboardMassRatio: 0.75 }, 1);

  /** Blocks of a nip whose roller stands still at 10 m/s: 10.61 turns a second. */
  function block(more: Partial<Nip>, acceleration: (atS: number) => number = () => 0) {
    let state = beginWave([1, 2, 3, 4]);
    const blocks = [];
    for (let n = 0; n < 60; n += 1) {
      const values = Float64Array.from({ length: 200 }, (_, i) => acceleration(n * 0.2 + (i + 1) / 1000));
      const loads = values.map((a) => 1000 + 100 * a);
      const next = advanceWave({ ...nip, ...more }, wave, state, {
        stretch: stretch(10, n * 0.2, 0.2),
        trace: { loadN: [loads, loads], pressedM: [loads, loads], accelerationMPerS2: [values, values] },
        mechanics,
      });
      state = next.state;
      if (next.block !== null) blocks.push({ ...next.block, n });
    }
    return blocks;
  }

  const amplitudeAt = (x: readonly number[], hz: number): number => {
    let [re, im] = [0, 0];
    x.forEach((value, i) => {
      re += value * Math.cos((2 * Math.PI * hz * i) / 2000);
      im += value * Math.sin((2 * Math.PI * hz * i) / 2000);
    });
    return (2 * Math.hypot(re, im)) / x.length;
  };

  it('come as whole blocks at the stated rate and interval', () => {
    const blocks = block({});
    expect(blocks.map(({ n }) => n)).toEqual([4, 29, 54]);
    for (const one of blocks) {
      expect(one.accelerationMPerS2[0]).toHaveLength(2000);
      expect(one.cellN?.[1]).toHaveLength(2000);
      expect(one.ageS).toBeCloseTo(1, 9);
    }
  });

  it('show lines of structure and gear mesh at their frequency with their amplitude (3 %)', () => {
    const [one] = block({
      structureLines: [{ frequencyHz: 100, accelerationMPerS2: 0.5 }],
      gearMesh: { teeth: 30, accelerationMPerS2: 0.2 },
    });
    const mesh = (30 * 10) / (Math.PI * 0.3);
    expect(amplitudeAt(one!.accelerationMPerS2[0], 100) / 0.5).toBeCloseTo(1, 1);
    expect(amplitudeAt(one!.accelerationMPerS2[1], mesh) / 0.2).toBeCloseTo(1, 1);
    expect(amplitudeAt(one!.accelerationMPerS2[1], 150)).toBeLessThan(0.01);
  });

  it('show a damaged bearing at one end: its pulses repeat at the pass frequency that the geometry gives', () => {
    // 9 balls, d/D = 0.3126/1.537: 3.5848 passes a turn (published multiplier of the 6205 bearing)
    const [one] = block({
      bearings: [
        {
          end: 'drive',
          passesPerTurn: 3.5848,
          slipRatio: 0,
          accelerationMPerS2: 5,
          ringHz: 500,
          decayS: 0.004,
        },
      ],
    });
    const power = one!.accelerationMPerS2[1].map((a) => a * a);
    const passHz = (3.5848 * 10) / (Math.PI * 0.3);
    const beside = [0.85, 0.93, 1.07, 1.15].map((share) => amplitudeAt(power, passHz * share));
    expect(amplitudeAt(power, passHz)).toBeGreaterThan(10 * Math.max(...beside));
    expect(Math.max(...one!.accelerationMPerS2[0].map(Math.abs))).toBe(0);
  });

  it('show the roller as it moves, towards the roll positive, and a cell force without the inboard mass', () => {
    const [one] = block({}, (t) => Math.cos(2 * Math.PI * 12 * t));
    const towards = one!.accelerationMPerS2[0];
    expect(amplitudeAt(towards, 12)).toBeCloseTo(1, 2);
    expect(towards[20]).toBeCloseTo(-Math.cos(2 * Math.PI * 12 * 0.01), 2);
    // 100 kg an end, 75 of them inboard: the cell swings by a quarter of what the nip does (own arithmetic)
    expect(amplitudeAt(one!.cellN![0], 12)).toBeCloseTo(25, 0);
  });
});
