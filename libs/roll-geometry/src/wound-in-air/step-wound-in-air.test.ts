import { type Known, type Quantity, known, reason, unknown } from '@edge-margin/units';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type MeasuredCell, type RollToWind, measure, windRoll } from './fixtures/measured-rolls.js';
import { noWoundInAirSeen, stepWoundInAir } from './step-wound-in-air.js';
import type { WoundInAir, WoundInAirConfig, WoundInAirState, WoundInAirStep } from './wound-in-air-types.js';

const missing = unknown(reason('missing', 'no reading'));

/** A thin film and a light coated paper, invented. */
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
  seconds: 400,
  noiseM: 0.3e-3,
};
const exact: WoundInAirConfig = {
  caliperM: 12e-6,
  caliperUncertaintyRatio: 0,
  gaugeUncertaintyM: 0.05e-3,
  gaugeScaleUncertaintyRatio: 0,
  lengthUncertaintyRatio: 0,
};
const usual = (roll: RollToWind): WoundInAirConfig => ({
  caliperM: roll.caliperM,
  caliperUncertaintyRatio: 0.03,
  gaugeUncertaintyM: Math.max(0.05e-3, roll.noiseM),
  lengthUncertaintyRatio: 0.002,
  filmToSeeM: roll.airM(0),
});

const last = (steps: readonly WoundInAirStep[]): WoundInAirStep => {
  const step = steps.at(-1);
  if (step === undefined) throw new Error('no step');
  return step;
};
const knownOf = (quantity: Quantity): Known => {
  if (quantity.kind === 'unknown') throw new Error(quantity.because.text);
  return quantity;
};
const airOf = (measured: WoundInAir): number => knownOf(measured.airThicknessM).value;
const spanOf = ({ stretch }: WoundInAir): number => (stretch === null ? 0 : stretch.to - stretch.from);

describe('the slope of the end face', () => {
  // Layer thickness, core and length of three builds against the diameter that a spiral summed wrap by wrap gives (own numerical solution, rounded to 3e-6).
  it.each([
    [0.076, 12e-6, 6000, 0.312169],
    [0.1, 60e-6, 10000, 0.879741],
    [0.096, 6.5e-6, 3000, 0.184511],
  ])(
    'of a build from %d m in layers of %d m over %d m of web is the layer',
    (coreM, layerM, lengthM, endM) => {
      const cells = Array.from({ length: 51 }, (_, index) => {
        const diameterM = Math.sqrt(coreM ** 2 + ((endM ** 2 - coreM ** 2) * index) / 50);
        const woundLengthM = known((lengthM * index) / 50);
        return {
          cell: {
            atMs: 1000 * index,
            rollId: 'a',
            diameterM: known(diameterM),
            woundLengthM,
            speedMPerS: known(lengthM / 50),
          },
        };
      });
      const { measured } = last(measure(cells, { ...exact, caliperM: layerM, windowM: lengthM }));
      expect(Math.abs(airOf(measured)) / layerM).toBeLessThan(2e-5);
    },
  );

  it.each(['length', 'wraps'] as const)('over %s gives the air exactly where nothing scatters', (over) => {
    const cells = windRoll({ ...film, noiseM: 0 }, 1);
    for (const { measured } of measure(cells, { ...exact, over }).slice(20)) {
      // The generator sums angles by the mean radius of each 0.5 m; both sides are exact to far below a picometre.
      expect(Math.abs(airOf(measured) - 1.4e-6)).toBeLessThan(1e-13);
    }
  });

  it('takes a scale error of the gauge twice over length, once over wraps', () => {
    const cells = windRoll({ ...film, noiseM: 0, gaugeScale: 0.01 }, 1);
    const layerM = 13.4e-6;
    expect(airOf(last(measure(cells, { ...exact, over: 'length' })).measured)).toBeCloseTo(
      layerM * 1.01 ** 2 - 12e-6,
      11,
    );
    expect(airOf(last(measure(cells, { ...exact, over: 'wraps' })).measured)).toBeCloseTo(
      layerM * 1.01 - 12e-6,
      11,
    );
  });

  it('takes a zero error of the gauge over the diameter over length, not at all over wraps', () => {
    const cells = windRoll({ ...film, noiseM: 0, gaugeZeroM: 0.001 }, 1);
    const overLength = last(measure(cells, { ...exact, windowM: 100 })).measured;
    const { diameterM = 0 } = cells.at(-1) ?? {};
    // First order in the 6 mm that the diameter grows over the 100 m.
    expect((airOf(overLength) + 12e-6) / 13.4e-6 - 1).toBeCloseTo(0.001 / diameterM, 4);
    expect(airOf(last(measure(cells, { ...exact, over: 'wraps' })).measured)).toBeCloseTo(1.4e-6, 12);
  });

  it('is negative where the caliper is stated too large, and says so', () => {
    const cells = windRoll({ ...film, airM: () => 0.2e-6 }, 5);
    const { measured } = last(
      measure(cells, { ...usual(film), caliperM: 13.5e-6, caliperUncertaintyRatio: 0.01 }),
    );
    expect(airOf(measured)).toBeLessThan(-1e-6);
    expect([measured.verdict, measured.because.code]).toEqual(['not-conclusive', 'thinner-than-caliper']);
  });
});

describe('the uncertainty', () => {
  it('of the noise is that of a least-squares slope', () => {
    const cells = windRoll({ ...film, noiseM: 0 }, 1);
    const { measured } = last(measure(cells, { ...exact, windowM: 500, gaugeUncertaintyM: 0.5e-3 }));
    const { diameterM = 0 } = cells.at(-1) ?? {};
    // u = (pi/2) D u(D) sqrt(12/N)/W, N readings evenly along W: least squares, any textbook; blocks at the ends of W cost a few per cent.
    const count = measured.stretch?.cellCount ?? 0;
    const formula = ((Math.PI / 2) * diameterM * 0.5e-3 * Math.sqrt(12 / count)) / spanOf(measured);
    expect((measured.contributions?.noiseM ?? 0) / formula).toBeGreaterThan(0.9);
    expect((measured.contributions?.noiseM ?? 0) / formula).toBeLessThan(1.1);
  });

  it('falls with the stretch to the power -3/2: the price of resolution along the roll', () => {
    const cells = windRoll({ ...film, noiseM: 0, seconds: 900 }, 1);
    const noise = (windowM: number) =>
      last(measure(cells, { ...exact, windowM, gaugeUncertaintyM: 0.5e-3 })).measured.contributions?.noiseM ??
      0;
    const exponent = Math.log(noise(1600) / noise(400)) / Math.log(4);
    // A stretch ends at a block, so its length is known to a tenth.
    expect(exponent).toBeGreaterThan(-1.6);
    expect(exponent).toBeLessThan(-1.4);
  });

  it('grows with the scatter that the readings show, where more than stated', () => {
    const scattering = windRoll({ ...film, noiseM: 1.2e-3 }, 3);
    const { measured } = last(measure(scattering, { ...usual(film), gaugeUncertaintyM: 0.2e-3 }));
    expect(measured.stretch?.scatterM).toBeGreaterThan(0.9e-3);
    expect(measured.stretch?.scatterM).toBeLessThan(1.6e-3);
  });

  it('of scale, length and caliper is combined by squares', () => {
    const config = { ...usual(paper), gaugeScaleUncertaintyRatio: 0.002, lengthUncertaintyRatio: 0.003 };
    const { measured } = last(measure(windRoll(paper, 1), config));
    const { noiseM = 0, calibrationM = 0, caliperM = 0 } = measured.contributions ?? {};
    const layer = knownOf(measured.layerThicknessM);
    const zeroRatio = config.gaugeUncertaintyM / 0.95;
    expect(caliperM).toBeCloseTo(0.03 * 50e-6, 12);
    expect(calibrationM / layer.value).toBeCloseTo(Math.hypot(0.004, 0.003, zeroRatio), 4);
    expect(knownOf(measured.airThicknessM).uncertainty).toBeCloseTo(
      Math.hypot(noiseM, calibrationM, caliperM),
      15,
    );
    expect(layer.uncertainty).toBeCloseTo(Math.hypot(noiseM, calibrationM), 15);
  });

  it('of a change contains neither caliper nor, but for its share, scale and length', () => {
    const { measured } = last(measure(windRoll(paper, 1), { ...usual(paper), caliperUncertaintyRatio: 0.2 }));
    const change = knownOf(measured.changeSinceM);
    expect(knownOf(measured.airThicknessM).uncertainty).toBeGreaterThan(9e-6);
    expect(change.uncertainty).toBeLessThan(1.5e-6);
    expect(Math.abs(change.value)).toBeLessThan(3 * change.uncertainty);
  });
});

describe('the length of the stretch', () => {
  it('is chosen so that the noise is an eighth of the film to be seen', () => {
    for (const filmToSeeM of [1e-6, 2e-6, 4e-6]) {
      const { measured } = last(measure(windRoll({ ...film, noiseM: 0 }, 1), { ...exact, filmToSeeM }));
      const share = (measured.contributions?.noiseM ?? 0) / filmToSeeM;
      // Each stretch tried is 1.4 times the one before, which costs up to a factor 1.4^1.5 = 1.66 and a block.
      expect(share).toBeLessThanOrEqual(1 / 8);
      expect(share).toBeGreaterThan(1 / 8 / 1.9);
    }
  });

  it('is longer for a gauge that scatters more', () => {
    const span = (gaugeUncertaintyM: number) =>
      spanOf(last(measure(windRoll({ ...film, noiseM: 0 }, 1), { ...exact, gaugeUncertaintyM })).measured);
    // 4^(2/3) = 2.5 times by the power -3/2; stretches are tried in steps of 1.4.
    expect(span(0.4e-3) / span(0.1e-3)).toBeGreaterThan(1.6);
    expect(span(0.4e-3) / span(0.1e-3)).toBeLessThan(3.6);
  });

  it('is as given where it is given, in m or in wraps', () => {
    const cells = windRoll({ ...film, seconds: 900 }, 2);
    const metres = last(measure(cells, { ...usual(film), windowM: 1000 })).measured;
    const wraps = last(measure(cells, { ...usual(film), windowWraps: 1000 })).measured;
    expect([metres.over, wraps.over]).toEqual(['length', 'wraps']);
    for (const measured of [metres, wraps]) {
      expect(spanOf(measured)).toBeGreaterThan(900);
      expect(spanOf(measured)).toBeLessThanOrEqual(1000);
    }
  });
});

describe('a measurement that cannot conclude', () => {
  const short = windRoll({ ...film, noiseM: 0.5e-3, seconds: 21 }, 4);

  it('says so for 1.4 um of air in 12 um film, read by a 0.5 mm gauge over 100 m, whatever the noise did', () => {
    const config = { ...usual(film), gaugeUncertaintyM: 0.5e-3 };
    for (let seed = 1; seed <= 200; seed += 1) {
      const { measured } = last(measure(windRoll({ ...film, noiseM: 0.5e-3, seconds: 21 }, seed), config));
      expect([seed, measured.verdict]).toEqual([seed, 'not-conclusive']);
    }
  });

  it('names the scatter and the length of web that would do, and there it concludes', () => {
    const config = { ...usual(film), gaugeUncertaintyM: 0.5e-3 };
    const { because } = last(measure(short, config)).measured;
    expect(because.code).toBe('longer-stretch-needed');
    expect(because.text).toMatch(
      /^air -?\d+\.\d\d µm, .* must scatter less than 0\.\d+ mm here, or .* \d+ m of web$/,
    );
    const { neededLengthM, neededScatterM } = because.params;
    const longer = windRoll(
      { ...film, noiseM: 0.5e-3, seconds: Math.ceil((1.2 * Number(neededLengthM)) / 5) },
      4,
    );
    expect(last(measure(longer, config)).measured.verdict).toBe('conclusive');
    const quieter = windRoll({ ...film, noiseM: 0.9 * Number(neededScatterM), seconds: 21 }, 4);
    const closer = { ...config, gaugeUncertaintyM: 0.9 * Number(neededScatterM) };
    expect(last(measure(quieter, closer)).measured.verdict).toBe('conclusive');
  });

  it('asks for the caliper where no length of web helps, and with it concludes', () => {
    const cells = windRoll(paper, 3);
    const config = { ...usual(paper), caliperUncertaintyRatio: 0.05 };
    const { because } = last(measure(cells, config)).measured;
    expect(because.code).toBe('closer-caliper-needed');
    const caliperUncertaintyRatio = 0.98 * Number(because.params['neededRatio']);
    expect(last(measure(cells, { ...config, caliperUncertaintyRatio })).measured.verdict).toBe('conclusive');
  });

  it('asks for closer gauge and length where those alone hide the film', () => {
    const config = { ...usual(paper), gaugeScaleUncertaintyRatio: 0.05 };
    expect(last(measure(windRoll(paper, 3), config)).measured.because.code).toBe('closer-calibration-needed');
  });

  it('gives no thickness of air while the diameter does not grow with the length', () => {
    const { diameterM: stuckM = 0 } = windRoll(film, 1)[199] ?? {};
    const gauge = (readM: number, second: number) => known(second < 200 ? readM : stuckM);
    const { measured } = last(measure(windRoll({ ...film, gauge, seconds: 300 }, 1), usual(film)));
    expect(measured.airThicknessM).toMatchObject({
      kind: 'unknown',
      because: { code: 'diameter-does-not-grow' },
    });
    expect(measured.verdict).toBe('not-conclusive');
  });

  it('says what is missing before there is anything', () => {
    const first = windRoll(film, 1).slice(0, 3);
    expect(last(measure(first, usual(film))).measured.because.code).toBe('too-few-readings');
    const blind = first.map(({ cell }) => ({
      cell: { ...cell, woundLengthM: missing, speedMPerS: missing },
    }));
    expect(last(measure(blind, usual(film))).measured.because.code).toBe('no-count');
    const uncounted = first.map(({ cell }) => ({ cell: { ...cell, wrapCount: missing } }));
    expect(last(measure(uncounted, { ...usual(film), over: 'wraps' })).measured.because.code).toBe(
      'no-count',
    );
  });
});

describe('what the cells may do', () => {
  const plain = windRoll(film, 6);
  const settled = (cells: readonly Pick<MeasuredCell, 'cell'>[], config = usual(film)) =>
    last(measure(cells, config)).measured;

  it('takes nothing from a roll that stands, however long', () => {
    const standing = Array.from({ length: 500 }, (_, index) => {
      const { cell } = plain.at(-1) ?? { cell: undefined };
      if (cell === undefined) throw new Error('no cell');
      return {
        cell: {
          ...cell,
          atMs: cell.atMs + 1000 * (index + 1),
          diameterM: known(0.3 + index * 1e-6),
          speedMPerS: known(0),
        },
      };
    });
    expect(settled([...plain, ...standing])).toEqual(settled(plain));
  });

  it('follows speed where the length is not counted, and differences where the counter is reset', () => {
    const bySpeed = plain.map(({ cell }) => ({ cell: { ...cell, woundLengthM: missing } }));
    const reset = plain.map(({ cell }, index) => {
      const countedM = knownOf(cell.woundLengthM).value;
      return { cell: { ...cell, woundLengthM: known(index < 300 ? countedM : countedM - 1400) } };
    });
    const airM = airOf(settled(plain));
    expect(airOf(settled(bySpeed))).toBeCloseTo(airM, 8);
    expect(airOf(settled(reset))).toBeCloseTo(airM, 8);
  });

  it('does not mind a counter that counts in whole metres or comes every third second', () => {
    const whole = plain.map(({ cell }) => ({
      cell: { ...cell, woundLengthM: known(Math.floor(knownOf(cell.woundLengthM).value)) },
    }));
    const seldom = plain.map(({ cell }, index) => ({
      cell: { ...cell, woundLengthM: index % 3 === 0 ? cell.woundLengthM : missing },
    }));
    expect(airOf(settled(whole))).toBeCloseTo(airOf(settled(plain)), 8);
    expect(airOf(settled(seldom))).toBeCloseTo(airOf(settled(plain)), 8);
  });

  it('begins anew, and says so, where the length was lost', () => {
    const blind = (index: number) => index >= 300 && index < 330;
    const cells = plain.map(({ cell }, index) => ({
      cell: { ...cell, woundLengthM: missing, speedMPerS: blind(index) ? missing : cell.speedMPerS },
    }));
    const steps = measure(cells, usual(film));
    expect(steps.map(({ stretchEnded }) => stretchEnded?.code).filter((code) => code !== undefined)).toEqual([
      'count-lost',
    ]);
    expect(Math.abs(airOf(last(steps).measured) - 1.4e-6)).toBeLessThan(0.5e-6);
    expect(steps[320]?.measured.because.code).toBe('no-count');
  });

  it('carries on by the counter over a gap in everything else', () => {
    const cells = plain.filter((_, index) => index < 300 || index >= 360);
    const steps = measure(cells, usual(film));
    expect(steps.filter(({ stretchEnded }) => stretchEnded !== null)).toEqual([]);
    expect(Math.abs(airOf(last(steps).measured) - 1.4e-6)).toBeLessThan(0.5e-6);
  });

  it('begins anew with another roll, caliper or abscissa', () => {
    const { state } = last(measure(plain, usual(film)));
    const next = windRoll({ ...film, seconds: 650 }, 6)[620];
    if (next === undefined) throw new Error('no cell');
    const blocks = (rollId: string, config: WoundInAirConfig) =>
      stepWoundInAir(state, { ...next.cell, rollId }, config).state.row.blocks.length;
    expect(blocks('roll-1', usual(film))).toBeGreaterThan(10);
    expect(blocks('roll-2', usual(film))).toBe(0);
    expect(blocks('roll-1', { ...usual(film), caliperM: 15e-6 })).toBe(0);
    expect(blocks('roll-1', { ...usual(film), over: 'wraps' })).toBe(0);
  });

  it('refuses a cell that is not later, and figures that cannot be', () => {
    const [first] = plain;
    if (first === undefined) throw new Error('no cell');
    const { state } = stepWoundInAir(noWoundInAirSeen, first.cell, usual(film));
    expect(() => stepWoundInAir(state, first.cell, usual(film))).toThrow(/atMs: later than .* is needed/);
    for (const [config, message] of [
      [{ caliperM: 0 }, 'caliperM: a finite number > 0 m is needed, got 0 m'],
      [{ gaugeUncertaintyM: 0 }, 'gaugeUncertaintyM: a finite number > 0 m is needed, got 0 m'],
      [
        { caliperUncertaintyRatio: -0.1 },
        'caliperUncertaintyRatio: a finite number >= 0 1 is needed, got -0.1 1',
      ],
      [
        { lengthUncertaintyRatio: NaN },
        'lengthUncertaintyRatio: a finite number >= 0 1 is needed, got NaN 1',
      ],
      [{ windowM: -5 }, 'windowM: a finite number > 0 m is needed, got -5 m'],
      [{ windowM: 5, windowWraps: 7 }, 'windowM: none is taken for a stretch over wraps, got 5 m'],
      [{ over: 'length', windowWraps: 7 }, 'windowWraps: none is taken for a stretch over length, got 7 1'],
    ] as const) {
      expect(() => stepWoundInAir(noWoundInAirSeen, first.cell, { ...usual(film), ...config })).toThrow(
        message,
      );
    }
  });
});

describe('the state', () => {
  const wild: RollToWind = {
    ...film,
    airM: (lengthM) => (lengthM > 1500 && lengthM < 2000 ? 50e-6 : 1.4e-6),
    gauge: (readM, second) => (second % 7 === 0 ? missing : known(second % 11 === 0 ? readM + 0.05 : readM)),
  };
  const cells = windRoll(wild, 9);
  const straight = measure(cells, usual(film));

  it('is the same, bit for bit, for the same cells', () => {
    expect(JSON.stringify(measure(cells, usual(film)))).toBe(JSON.stringify(straight));
  });

  it('may be written as JSON and read back anywhere without changing anything', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: cells.length - 2 }), (index) => {
        const state = JSON.parse(JSON.stringify(straight[index]?.state)) as WoundInAirState;
        const onwards = measure(cells.slice(index + 1), usual(film), state);
        expect(JSON.stringify(onwards) === JSON.stringify(straight.slice(index + 1))).toBe(true);
      }),
      { numRuns: 15, seed: 1 },
    );
  });

  it('stays below 3 kB, through thin films and thick paper, steady and wild', () => {
    const long = [wild, { ...paper, seconds: 900 }, { ...film, seconds: 2000, speedMPerS: 12 }];
    const sizes = long.flatMap((roll) =>
      (['length', 'wraps'] as const).flatMap((over) =>
        measure(windRoll(roll, 3), { ...usual(roll), over }).map(({ state }) => JSON.stringify(state).length),
      ),
    );
    expect(Math.max(...sizes)).toBeLessThan(3000);
  });
});
