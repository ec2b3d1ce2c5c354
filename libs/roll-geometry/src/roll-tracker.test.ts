import { type Known, type Quantity, known, reason, unknown } from '@edge-margin/units';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type {
  DiameterSource,
  RollCell,
  RollEvent,
  RollTrackerConfig,
  RollTrackerState,
  RollTrackerStep,
  TrackedRoll,
} from './roll-tracker-types.js';
import { noRollSeen, stepRoll } from './roll-tracker.js';

const missing = unknown(reason('missing', 'no reading yet'));
const gaugeUncertaintyM = 0.001;
const startMs = 1_760_000_000_000;

/** A light coated paper winder and a film winder, invented. */
const paper: RollTrackerConfig = {
  gradeId: 'light-coated',
  coreDiameterM: 0.1,
  caliperM: 50e-6,
  diameterFrom: 'gauge',
  maxSpeedMPerS: 40,
  maxDiameterM: 1.5,
};
const film: RollTrackerConfig = {
  gradeId: 'clear-film',
  coreDiameterM: 0.076,
  caliperM: 12e-6,
  diameterFrom: 'gauge',
  maxSpeedMPerS: 12,
  maxDiameterM: 0.8,
};

/** Gaussian noise from a small seeded generator (own, linear congruential), for repeatable cells. */
function noise(seed: number): () => number {
  let state = seed;
  const uniform = () => ((state = (state * 1664525 + 1013904223) % 4294967296) + 0.5) / 4294967296;
  return () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
}

/** The true roll, built up in steps of a millisecond's worth of web, apart from the code under test. */
interface Truth {
  readonly atMs: number;
  readonly speedMPerS: number;
  readonly diameterM: number;
  readonly lengthM: number;
}

interface Machine {
  readonly coreM: number;
  readonly layerM: number;
  readonly fromDiameterM?: number;
  readonly fromMs?: number;
}

function wind(
  { coreM, layerM, fromDiameterM = coreM, fromMs = startMs }: Machine,
  speeds: readonly number[],
): readonly Truth[] {
  let face = (Math.PI / 4) * (fromDiameterM ** 2 - coreM ** 2);
  return speeds.map((speedMPerS, index) => {
    for (let k = 0; k < 1000; k += 1) face += (layerM * speedMPerS) / 1000;
    return {
      atMs: fromMs + 1000 * (index + 1),
      speedMPerS,
      diameterM: Math.sqrt(coreM ** 2 + (4 / Math.PI) * face),
      lengthM: face / layerM,
    };
  });
}

type Signals = Partial<Omit<RollCell, 'atMs'>>;

function cellOf(atMs: number, signals: Signals): RollCell {
  return {
    atMs,
    speedMPerS: missing,
    diameterM: missing,
    coreRotationHz: missing,
    woundLengthM: missing,
    winding: missing,
    ...signals,
  };
}

/** Gauge and speed, both with noise. */
function gauged(
  truth: readonly Truth[],
  seed: number,
  more: (at: Truth, index: number) => Signals = () => ({}),
  noiseM = gaugeUncertaintyM,
): readonly RollCell[] {
  const gaussian = noise(seed);
  return truth.map((at, index) =>
    cellOf(at.atMs, {
      speedMPerS: known(at.speedMPerS, 0.002 * at.speedMPerS),
      diameterM: known(at.diameterM + noiseM * gaussian(), gaugeUncertaintyM),
      ...more(at, index),
    }),
  );
}

interface Run {
  readonly steps: readonly RollTrackerStep[];
  readonly last: RollTrackerStep;
  readonly events: readonly RollEvent[];
}

function run(
  cells: readonly RollCell[],
  config: RollTrackerConfig | ((index: number) => RollTrackerConfig),
  from: RollTrackerState = noRollSeen,
): Run {
  const steps: RollTrackerStep[] = [];
  let state = from;
  for (const [index, cell] of cells.entries()) {
    const step = stepRoll(state, cell, typeof config === 'function' ? config(index) : config);
    steps.push(step);
    state = step.state;
  }
  return { steps, last: steps.at(-1)!, events: steps.flatMap(({ events }) => events) };
}

function told(quantity: Quantity | undefined): Known {
  if (quantity?.kind !== 'known') throw new Error(`not known: ${quantity?.because.text ?? 'nothing there'}`);
  return quantity;
}
const rollOf = (step: RollTrackerStep): TrackedRoll => {
  if (step.roll === null) throw new Error(`no roll: ${step.noRoll?.text}`);
  return step.roll;
};
const codes = (events: readonly RollEvent[]) => events.map(({ kind, because }) => `${kind} ${because.code}`);
const steady = (speed: number, seconds: number) => Array.from({ length: seconds }, () => speed);
const paperRoll = { coreM: 0.1, layerM: 51e-6 };

describe('the diameter of a roll that is followed', () => {
  it('stays close to the truth and smoother than the gauge, from first seen to full', () => {
    const truth = wind({ ...paperRoll, fromDiameterM: 0.15 }, steady(25, 600));
    const { steps } = run(gauged(truth, 1), paper);
    const errors = steps
      .slice(60)
      .map((step, index) => told(rollOf(step).diameterM).value - truth[index + 60]!.diameterM);
    const rms = Math.sqrt(errors.reduce((sum, error) => sum + error * error, 0) / errors.length);
    expect(rms).toBeLessThan(gaugeUncertaintyM / 2);
    expect(Math.max(...errors.map(Math.abs))).toBeLessThan(3 * gaugeUncertaintyM);
    expect(steps.flatMap(({ notUsed }) => notUsed)).toEqual([]);
  });

  it('stands by its uncertainty: the truth lies within two of them in at least 95 of 100 cells', () => {
    let inside = 0;
    let all = 0;
    for (let seed = 1; seed <= 10; seed += 1) {
      const truth = wind({ ...paperRoll, fromDiameterM: 0.2 }, steady(30, 200));
      for (const [index, step] of run(gauged(truth, seed), paper).steps.entries()) {
        const diameter = told(rollOf(step).diameterM);
        all += 1;
        if (Math.abs(diameter.value - truth[index]!.diameterM) <= 2 * diameter.uncertainty) inside += 1;
      }
    }
    expect(inside / all).toBeGreaterThan(0.95);
  });

  it('never grows faster between two cells than the web allows, but for a small part of the gauge scatter', () => {
    const truth = wind({ ...paperRoll, fromDiameterM: 0.3 }, steady(25, 400));
    const { steps } = run(gauged(truth, 4), paper);
    const diameters = steps.slice(100).map((step) => told(rollOf(step).diameterM).value);
    for (const [index, diameterM] of diameters.slice(1).entries()) {
      const grown = diameterM - diameters[index]!;
      const allowed = (2 * paperRoll.layerM * 25) / (Math.PI * diameters[index]!);
      // One reading weighs a thirtieth at most: five of its deviations move the diameter by a sixth of one.
      expect(Math.abs(grown - allowed)).toBeLessThan(0.25 * gaugeUncertaintyM);
    }
  });

  it('learns the layer thickness of a film roll, which wound-in air makes 7 % thicker than its caliper', () => {
    const layerM = 12.84e-6;
    const truth = wind({ coreM: 0.076, layerM, fromDiameterM: 0.09 }, steady(6, 900));
    const { steps, last } = run(
      gauged(truth, 7, undefined, 0.0003).map((cell) => ({
        ...cell,
        diameterM: known(told(cell.diameterM).value, 0.0003),
      })),
      film,
    );
    expect(rollOf(steps[0]!).layerThicknessFrom).toBe('caliper');
    expect(rollOf(steps[0]!).layerThicknessM.value).toBe(12e-6);
    const layer = rollOf(last).layerThicknessM;
    expect(rollOf(last).layerThicknessFrom).toBe('measured');
    expect(Math.abs(layer.value / layerM - 1)).toBeLessThan(0.01);
    expect(Math.abs(layer.value - layerM)).toBeLessThan(2 * layer.uncertainty);
  });

  it('learns it no worse for a stray reading every ten seconds', () => {
    const layerM = 53e-6;
    const truth = wind({ coreM: 0.1, layerM, fromDiameterM: 0.2 }, steady(25, 600));
    const stray = gauged(truth, 8, ({ diameterM }, index) =>
      index % 10 === 9 ? { diameterM: known(diameterM - 0.05, gaugeUncertaintyM) } : {},
    );
    const { last } = run(stray, paper);
    expect(last.notUsedCount).toBe(60);
    expect(Math.abs(rollOf(last).layerThicknessM.value / layerM - 1)).toBeLessThan(0.01);
  });

  it('does not take a gauge without stated uncertainty as exact', () => {
    const truth = wind({ ...paperRoll, fromDiameterM: 0.5 }, steady(20, 100));
    const exact = gauged(truth, 3).map((cell) => ({ ...cell, diameterM: known(told(cell.diameterM).value) }));
    const { last } = run(exact, paper);
    expect(told(rollOf(last).diameterM).uncertainty).toBeGreaterThan(0.0005);
    expect(Math.abs(told(rollOf(last).diameterM).value - truth.at(-1)!.diameterM)).toBeLessThan(
      gaugeUncertaintyM,
    );
  });

  it('follows a small shift of the gauge, too small to be a jump, within two minutes', () => {
    const truth = wind({ ...paperRoll, fromDiameterM: 0.8 }, steady(25, 420));
    const shifted = gauged(truth, 9, ({ diameterM }, index) =>
      index >= 300 ? { diameterM: known(diameterM + 0.004, gaugeUncertaintyM) } : {},
    );
    const { steps, last } = run(shifted, paper);
    expect(last.notUsedCount).toBe(0);
    expect(Math.abs(told(rollOf(steps[299]!).diameterM).value - truth[299]!.diameterM)).toBeLessThan(0.001);
    expect(Math.abs(told(rollOf(last).diameterM).value - truth[419]!.diameterM - 0.004)).toBeLessThan(0.001);
  });

  it('follows it as quickly after a long stop, however many readings agreed before', () => {
    const truth = wind({ ...paperRoll, fromDiameterM: 0.8 }, steady(0, 1200));
    const shifted = gauged(truth, 10, ({ diameterM }, index) =>
      index >= 1000 ? { diameterM: known(diameterM + 0.004, gaugeUncertaintyM) } : {},
    );
    expect(Math.abs(told(rollOf(run(shifted, paper).last).diameterM).value - 0.804)).toBeLessThan(0.0005);
  });

  it('comes from speed and core rotation where there is no gauge, and holds while the roll stands', () => {
    const truth = wind(paperRoll, [...steady(15, 200), ...steady(0, 120), ...steady(15, 30)]);
    const cells = truth.map((at) =>
      cellOf(at.atMs, {
        speedMPerS: known(at.speedMPerS, 0.01),
        coreRotationHz: known(at.speedMPerS / (Math.PI * at.diameterM), 0.002),
      }),
    );
    const { steps } = run(cells, { ...paper, diameterFrom: 'rotation' });
    for (const index of [100, 199, 260, 319, 349]) {
      const diameter = told(rollOf(steps[index]!).diameterM);
      expect(Math.abs(diameter.value - truth[index]!.diameterM)).toBeLessThan(0.002 * diameter.value);
    }
    expect(rollOf(steps[260]!).phase).toBe('stopped');
  });

  it('is not held beyond a minute while the roll turns and its rotation is missing', () => {
    const truth = wind(paperRoll, steady(15, 300));
    const cells = truth.map((at, index) =>
      cellOf(at.atMs, {
        speedMPerS: known(15, 0.01),
        coreRotationHz: index < 200 ? known(15 / (Math.PI * at.diameterM), 0.002) : missing,
      }),
    );
    const { steps } = run(cells, { ...paper, diameterFrom: 'rotation' });
    expect(rollOf(steps[250]!).diameterM.kind).toBe('known');
    expect(rollOf(steps[280]!).diameterM).toMatchObject({
      kind: 'unknown',
      because: { code: 'no-diameter' },
    });
  });

  it('comes from the wound length where that is chosen, with the uncertainty of the caliper', () => {
    const truth = wind({ coreM: 0.1, layerM: 51e-6 }, steady(20, 300));
    const cells = truth.map((at) =>
      cellOf(at.atMs, {
        speedMPerS: known(at.speedMPerS),
        woundLengthM: known(at.lengthM, 5),
        winding: known(1),
      }),
    );
    const waiting = cellOf(startMs, { speedMPerS: known(0), woundLengthM: known(0), winding: known(0) });
    const { last } = run([waiting, ...cells], { ...paper, diameterFrom: 'length' });
    const roll = rollOf(last);
    expect(told(roll.diameterM).value).toBeCloseTo(
      Math.sqrt(0.01 + (4 / Math.PI) * 50e-6 * truth.at(-1)!.lengthM),
      9,
    );
    expect(Math.abs(told(roll.diameterM).value - truth.at(-1)!.diameterM)).toBeLessThan(
      told(roll.diameterM).uncertainty,
    );
    expect(told(roll.woundLengthM).value).toBeCloseTo(truth.at(-1)!.lengthM, 6);
  });

  it('in mode `length` stays open by what was wound unseen until the counter tells it', () => {
    const truth = wind(paperRoll, steady(20, 300));
    const cells = truth.map((at, index) => {
      const silent = index >= 100 && index < 130;
      const counted = index < 100 || index >= 200;
      return cellOf(at.atMs, {
        speedMPerS: silent ? missing : known(20),
        woundLengthM: counted ? known(at.lengthM) : missing,
      });
    });
    const { steps } = run(cells, { ...paper, diameterFrom: 'length' });
    const uncertainty = (index: number) => told(rollOf(steps[index]!).diameterM).uncertainty;
    // The caliper's 5 % of 2000 m, 50 um on a 100 mm core known to half a per cent.
    const squareM2 = 0.01 + (4 / Math.PI) * 50e-6 * 2000;
    expect(uncertainty(99)).toBeCloseTo(
      Math.hypot(0.05 * (squareM2 - 0.01), 2 * 0.1 * 0.0005) / (2 * Math.sqrt(squareM2)),
      9,
    );
    // 40 m/s at most for 30 s: 1200 m that nobody saw, uniform.
    expect(uncertainty(150)).toBeGreaterThan(((4 / Math.PI) * 50e-6 * 1200) / Math.sqrt(12) / 2);
    expect(uncertainty(150)).toBeGreaterThan(uncertainty(250) * 1.2);
    expect(told(rollOf(steps[150]!).diameterM).value).toBeGreaterThan(
      told(rollOf(steps[99]!).diameterM).value,
    );
    expect(told(rollOf(steps[299]!).woundLengthM).value).toBeCloseTo(6000, 6);
  });

  it('is counted from the speed where mode `length` has no counter, and says so where the start was not seen', () => {
    const truth = wind(paperRoll, steady(20, 100));
    const config: RollTrackerConfig = { ...paper, diameterFrom: 'length' };
    const cells = truth.map((at) =>
      cellOf(at.atMs, { speedMPerS: known(at.speedMPerS, 0.1), winding: known(1) }),
    );
    const seen = run([cellOf(startMs, { speedMPerS: known(0), winding: known(0) }), ...cells], config).last;
    // Of the 20 m of the cell in which the signal came on half is counted: where in it the roll began is not known.
    expect(told(rollOf(seen).woundLengthM).value).toBeCloseTo(1990, 6);
    expect(told(rollOf(seen).woundLengthM).uncertainty).toBeCloseTo(20 / Math.sqrt(12) + 9.9, 6);
    expect(told(rollOf(seen).diameterM).kind).toBe('known');
    expect(rollOf(run(cells, config).last).diameterM).toMatchObject({
      kind: 'unknown',
      because: { code: 'start-not-seen' },
    });
  });
});

describe('a gauge that fails', () => {
  const truth = wind({ ...paperRoll, fromDiameterM: 0.4 }, steady(25, 300));
  const failing = (from: number, to: number, signals: (at: Truth) => Signals) =>
    gauged(truth, 11, (at, index) => (index >= from && index < to ? signals(at) : {}));
  const error = (step: RollTrackerStep, index: number) =>
    Math.abs(told(rollOf(step).diameterM).value - truth[index]!.diameterM);

  it('that jumps back 50 mm for one reading and returns is not used, and counted', () => {
    const { steps, events, last } = run(
      failing(100, 101, ({ diameterM }) => ({ diameterM: known(diameterM - 0.05, gaugeUncertaintyM) })),
      paper,
    );
    expect(steps[100]!.notUsed).toMatchObject([
      { code: 'diameter-jumped-back', params: { diameterM: truth[100]!.diameterM - 0.05 } },
    ]);
    expect(error(steps[100]!, 100)).toBeLessThan(3 * gaugeUncertaintyM);
    expect(last.notUsedCount).toBe(1);
    expect(codes(events)).toEqual(['started first-seen']);
  });

  it('that jumps ahead further than the speed allows is not used', () => {
    const { steps, last } = run(
      failing(100, 103, ({ diameterM }) => ({ diameterM: known(diameterM + 0.03, gaugeUncertaintyM) })),
      paper,
    );
    expect(steps[101]!.notUsed.map(({ code }) => code)).toEqual(['diameter-jumped-ahead']);
    expect(last.notUsedCount).toBe(3);
    expect(error(last, 299)).toBeLessThan(3 * gaugeUncertaintyM);
  });

  it('that is shifted and stays so is believed after five readings that agree, with a reason', () => {
    const { steps, events } = run(
      failing(100, 300, ({ diameterM }) => ({ diameterM: known(diameterM + 0.02, gaugeUncertaintyM) })),
      paper,
    );
    expect(codes(events)).toEqual(['started first-seen', 're-anchored diameter-shifted']);
    expect(events[1]!.atMs).toBe(truth[104]!.atMs);
    expect(Math.abs(told(rollOf(steps[103]!).diameterM).value - truth[103]!.diameterM)).toBeLessThan(0.003);
    expect(Math.abs(told(rollOf(steps[104]!).diameterM).value - truth[104]!.diameterM - 0.02)).toBeLessThan(
      0.003,
    );
    // A gauge that reads 20 mm too much at 500 mm makes the slope of D^2 4 % too steep.
    expect(Math.abs(rollOf(steps[299]!).layerThicknessM.value / paperRoll.layerM - 1)).toBeLessThan(0.05);
  });

  it('that is shifted down but nowhere near a core does not end the roll', () => {
    const { events } = run(
      failing(100, 300, ({ diameterM }) => ({ diameterM: known(diameterM - 0.06, gaugeUncertaintyM) })),
      paper,
    );
    expect(codes(events)).toEqual(['started first-seen', 're-anchored diameter-shifted']);
  });

  it('that is shifted down on a small roll, to about the core but not by half of the build, does not end it', () => {
    const small = wind({ ...paperRoll, fromDiameterM: 0.125 }, steady(0.5, 200));
    const shifted = gauged(small, 13, ({ diameterM }, index) =>
      index >= 100 ? { diameterM: known(diameterM - 0.008, gaugeUncertaintyM) } : {},
    );
    expect(codes(run(shifted, paper).events)).toEqual(['started first-seen', 're-anchored diameter-shifted']);
  });

  it('that scatters all over is never believed', () => {
    const gaussian = noise(5);
    const { events, last } = run(
      failing(100, 200, () => ({ diameterM: known(0.7 + 0.2 * gaussian(), gaugeUncertaintyM) })),
      paper,
    );
    expect(codes(events)).toEqual(['started first-seen']);
    expect(last.notUsedCount).toBeGreaterThan(80);
    expect(error(last, 299)).toBeLessThan(3 * gaugeUncertaintyM);
  });

  it('that goes silent leaves a prediction with growing uncertainty for a minute, then nothing', () => {
    const { steps } = run(
      failing(100, 200, () => ({ diameterM: missing })),
      paper,
    );
    const at = (index: number) => told(rollOf(steps[index]!).diameterM);
    expect(error(steps[150]!, 150)).toBeLessThan(3 * at(150).uncertainty);
    expect(at(158).uncertainty).toBeGreaterThan(at(120).uncertainty);
    expect(at(120).uncertainty).toBeGreaterThan(at(99).uncertainty);
    expect(rollOf(steps[170]!).diameterM).toMatchObject({
      kind: 'unknown',
      because: {
        code: 'no-diameter',
        params: { sinceMs: truth[99]!.atMs, forS: 71 },
        text: 'no diameter for 71 s',
      },
    });
    expect(error(steps[200]!, 200)).toBeLessThan(3 * gaugeUncertaintyM);
    expect(steps[200]!.notUsed).toEqual([]);
  });

  it('that reads nonsense beyond the machine or below the core is not used', () => {
    const { events, last } = run(
      failing(100, 120, ({ atMs }) => ({ diameterM: known(atMs % 2000 === 0 ? 3 : 0.01) })),
      paper,
    );
    expect(last.notUsedCount).toBe(20);
    expect(codes(events)).toEqual(['started first-seen']);
  });

  it('is not the only one to be held against what the machine can do', () => {
    const { last, steps } = run(
      failing(100, 101, () => ({ speedMPerS: known(1e6), woundLengthM: known(1e9) })),
      paper,
    );
    expect(steps[100]!.notUsed.map(({ code }) => code)).toEqual([
      'speed-beyond-machine',
      'length-beyond-machine',
    ]);
    expect(error(last, 299)).toBeLessThan(3 * gaugeUncertaintyM);
  });

  it('cannot be believed while the winder stands: nothing can have grown', () => {
    const standing = wind({ ...paperRoll, fromDiameterM: 0.4 }, [
      ...steady(25, 100),
      ...steady(0, 60),
      ...steady(25, 60),
    ]);
    const cells = gauged(standing, 12, ({ diameterM }, index) =>
      index >= 110 && index < 150 ? { diameterM: known(diameterM + 0.3) } : {},
    );
    const { events, steps } = run(cells, paper);
    expect(codes(events)).toEqual(['started first-seen']);
    expect(Math.abs(told(rollOf(steps[140]!).diameterM).value - standing[140]!.diameterM)).toBeLessThan(
      0.002,
    );
  });
});

describe('a speed that is missing', () => {
  const truth = wind({ ...paperRoll, fromDiameterM: 0.4 }, steady(25, 300));

  it('leaves the gauge to tell the diameter, and the diameter to tell the length', () => {
    const { steps } = run(
      gauged(truth, 21, (_, index) => (index >= 100 && index < 250 ? { speedMPerS: missing } : {})),
      paper,
    );
    for (const index of [101, 150, 249, 299]) {
      const roll = rollOf(steps[index]!);
      expect(Math.abs(told(roll.diameterM).value - truth[index]!.diameterM)).toBeLessThan(
        4 * gaugeUncertaintyM,
      );
      const length = told(roll.woundLengthM);
      expect(Math.abs(length.value - truth[index]!.lengthM)).toBeLessThan(3 * length.uncertainty);
    }
  });

  it('does not keep a roll change from being seen', () => {
    const second = wind({ ...paperRoll, fromMs: truth.at(-1)!.atMs }, steady(25, 100));
    const cells = [...gauged(truth, 24), ...gauged(second, 25)].map((cell, index) =>
      index < 250 ? cell : { ...cell, speedMPerS: missing },
    );
    const { events, last } = run(cells, paper);
    expect(codes(events).slice(0, 2)).toEqual(['started first-seen', 'ended diameter-fell-to-core']);
    expect(codes(events)[2]).toMatch(/^started/);
    expect(Math.abs(told(rollOf(last).diameterM).value - second.at(-1)!.diameterM)).toBeLessThan(
      4 * gaugeUncertaintyM,
    );
  });

  it('does not matter where the machine counts the length', () => {
    const { steps } = run(
      gauged(truth, 22, ({ lengthM }) => ({ speedMPerS: missing, woundLengthM: known(lengthM, 1) })),
      paper,
    );
    expect(Math.abs(told(rollOf(steps[299]!).diameterM).value - truth[299]!.diameterM)).toBeLessThan(
      gaugeUncertaintyM,
    );
    expect(rollOf(steps[299]!).phase).toBe('winding');
  });

  it('together with the gauge widens the diameter by all that may have been wound, to both sides of the truth', () => {
    const { steps } = run(
      gauged(truth, 23, (_, index) =>
        index >= 100 && index < 150 ? { speedMPerS: missing, diameterM: missing } : {},
      ),
      paper,
    );
    const diameter = told(rollOf(steps[149]!).diameterM);
    expect(Math.abs(diameter.value - truth[149]!.diameterM)).toBeLessThan(2 * diameter.uncertainty);
    expect(diameter.uncertainty).toBeGreaterThan(0.01);
    expect(Math.abs(told(rollOf(steps[151]!).diameterM).value - truth[151]!.diameterM)).toBeLessThan(
      4 * gaugeUncertaintyM,
    );
  });
});

describe('start and end without a winding signal', () => {
  const first = wind(paperRoll, [...steady(0, 10), ...steady(20, 400)]);
  const flying = (seconds: number, fromMs = first.at(-1)!.atMs) =>
    wind({ ...paperRoll, fromMs }, steady(20, seconds));

  it('begins when the core that stood waiting begins to turn, and ends when the diameter is back at the core', () => {
    const stop = wind(
      { ...paperRoll, fromDiameterM: first.at(-1)!.diameterM, fromMs: first.at(-1)!.atMs },
      steady(0, 30),
    );
    const core = wind({ ...paperRoll, fromMs: stop.at(-1)!.atMs }, [...steady(0, 30), ...steady(20, 60)]);
    const { steps, events } = run([...gauged(first, 31), ...gauged(stop, 32), ...gauged(core, 33)], paper);
    expect(steps[5]!.noRoll?.code).toBe('core-waiting');
    expect(codes(events)).toEqual([
      'started core-began-to-turn',
      'ended diameter-fell-to-core',
      'started core-began-to-turn',
    ]);
    expect(events[0]).toMatchObject({ atMs: first[10]!.atMs, startSeen: true });
    expect(events[1]!.atMs).toBe(core[0]!.atMs);
    expect(events[2]).toMatchObject({ atMs: core[30]!.atMs, startSeen: true });
    const end = events[1]! as RollEvent & { kind: 'ended' };
    expect(Math.abs(told(end.diameterM).value - first.at(-1)!.diameterM)).toBeLessThan(2 * gaugeUncertaintyM);
    expect(Math.abs(told(end.woundLengthM).value - 8000)).toBeLessThan(
      2 * told(end.woundLengthM).uncertainty + 1,
    );
    expect(
      Math.abs(told(end.wrapCount).value - (first.at(-1)!.diameterM - 0.1) / (2 * paperRoll.layerM)),
    ).toBeLessThan(2 * told(end.wrapCount).uncertainty);
  });

  it('sees a roll change in full flight, and charges the cells of doubt to the new roll', () => {
    const second = flying(100);
    const { events, last } = run([...gauged(first, 34), ...gauged(second, 35)], paper);
    expect(codes(events)).toEqual([
      'started core-began-to-turn',
      'ended diameter-fell-to-core',
      'started diameter-fell-to-core',
    ]);
    expect(events[1]!.atMs).toBe(second[0]!.atMs);
    expect(
      Math.abs(told((events[1]! as RollEvent & { kind: 'ended' }).diameterM).value - first.at(-1)!.diameterM),
    ).toBeLessThan(0.003);
    expect(Math.abs(told(rollOf(last).woundLengthM).value - second.at(-1)!.lengthM)).toBeLessThan(
      0.02 * second.at(-1)!.lengthM,
    );
    expect(Math.abs(told(rollOf(last).diameterM).value - second.at(-1)!.diameterM)).toBeLessThan(
      3 * gaugeUncertaintyM,
    );
  });

  it('ends by the length counter where no diameter contradicts', () => {
    const second = flying(100);
    const counted = [...first, ...second].map((at) =>
      cellOf(at.atMs, { speedMPerS: known(at.speedMPerS), woundLengthM: known(at.lengthM) }),
    );
    for (const diameterFrom of ['gauge', 'length'] as const) {
      const { events, last } = run(counted, { ...paper, diameterFrom });
      expect(codes(events)).toEqual([
        'started core-began-to-turn',
        'ended wound-length-reset',
        'started wound-length-reset',
      ]);
      expect(events[1]!.atMs).toBe(second[0]!.atMs);
      expect(told(rollOf(last).woundLengthM).value).toBeCloseTo(2000, 6);
      const end = events[1]! as RollEvent & { kind: 'ended' };
      expect(told(end.woundLengthM).value).toBeCloseTo(8000, 6);
    }
  });

  it('takes a counter that is reset in the middle of a roll for what it is, and counts on', () => {
    const cells = gauged(first, 36, ({ lengthM }, index) => ({
      woundLengthM: known(index < 200 ? lengthM : lengthM - first[200]!.lengthM),
    }));
    const { events, last } = run(cells, paper);
    expect(codes(events)).toEqual(['started core-began-to-turn', 're-anchored length-counter-shifted']);
    expect(Math.abs(told(rollOf(last).woundLengthM).value - first.at(-1)!.lengthM)).toBeLessThan(1);
  });

  it('counts from nothing where the counter is reset in the cell in which the core begins to turn', () => {
    const second = wind({ ...paperRoll, fromMs: first.at(-1)!.atMs }, [...steady(0, 20), ...steady(20, 50)]);
    const cells = [...gauged(first, 43), ...gauged(second, 44)].map((cell, index) => {
      const at = [...first, ...second][index]!;
      const reset = index >= first.length + 20;
      return { ...cell, woundLengthM: known(reset || index < first.length ? at.lengthM : 8000) };
    });
    const { steps, last } = run(cells, paper);
    expect(told(rollOf(last).woundLengthM).value).toBeCloseTo(1000, 6);
    expect(steps.flatMap(({ notUsed }) => notUsed).filter(({ code }) => code.startsWith('length'))).toEqual(
      [],
    );
    expect(Math.abs(told(rollOf(last).diameterM).value - second.at(-1)!.diameterM)).toBeLessThan(
      3 * gaugeUncertaintyM,
    );
  });

  it('survives one stray zero of the counter', () => {
    const cells = first.map((at, index) =>
      cellOf(at.atMs, {
        speedMPerS: known(at.speedMPerS),
        woundLengthM: known(index === 300 ? 0 : at.lengthM),
      }),
    );
    const { events, last, steps } = run(cells, { ...paper, diameterFrom: 'length' });
    expect(codes(events)).toEqual(['started core-began-to-turn']);
    expect(steps[300]!.notUsed.map(({ code }) => code)).toEqual(['length-jumped-back']);
    expect(last.notUsedCount).toBe(1);
    expect(told(rollOf(steps[300]!).woundLengthM).value).toBeCloseTo(first[300]!.lengthM, 6);
  });

  it('keeps the roll through a stop and a restart at the same diameter', () => {
    const truth = wind({ ...paperRoll, fromDiameterM: 0.5 }, [
      ...steady(25, 100),
      15,
      5,
      ...steady(0, 300),
      5,
      15,
      ...steady(25, 100),
    ]);
    const { steps, events } = run(gauged(truth, 37), paper);
    expect(codes(events)).toEqual(['started first-seen']);
    expect(rollOf(steps[200]!).phase).toBe('stopped');
    expect(rollOf(steps[450]!).phase).toBe('winding');
    expect(rollOf(steps.at(-1)!).startedAtMs).toBe(truth[0]!.atMs);
  });

  it('marks a roll that had begun before the service did', () => {
    const { steps } = run(gauged(wind({ ...paperRoll, fromDiameterM: 0.6 }, steady(25, 5)), 38), paper);
    expect(rollOf(steps[0]!)).toMatchObject({ startSeen: false, startedAtMs: startMs + 1000 });
    const length = told(rollOf(steps[4]!).woundLengthM);
    const truthM = (Math.PI * (0.36 - 0.01)) / (4 * paperRoll.layerM) + 125;
    expect(Math.abs(length.value - truthM)).toBeLessThan(2 * length.uncertainty);
  });

  it('sees that the roll was changed while nothing was received', () => {
    const second = wind(
      { ...paperRoll, fromDiameterM: 0.25, fromMs: first.at(-1)!.atMs + 1_800_000 },
      steady(20, 60),
    );
    const { events, last } = run([...gauged(first, 39), ...gauged(second, 40)], paper);
    expect(codes(events)).toEqual([
      'started core-began-to-turn',
      'ended diameter-fell-to-core',
      'started diameter-fell-to-core',
    ]);
    expect(rollOf(last)).toMatchObject({ startSeen: false, startedAtMs: second[0]!.atMs });
    expect(Math.abs(told(rollOf(last).diameterM).value - second.at(-1)!.diameterM)).toBeLessThan(
      3 * gaugeUncertaintyM,
    );
  });

  it('lets the same roll go on after a gap in which it grew', () => {
    const later = wind(
      { ...paperRoll, fromDiameterM: first.at(-1)!.diameterM, fromMs: first.at(-1)!.atMs },
      steady(20, 300),
    );
    const { events, last } = run([...gauged(first, 41), ...gauged(later, 42).slice(200)], paper);
    expect(codes(events)).toEqual(['started core-began-to-turn']);
    expect(Math.abs(told(rollOf(last).diameterM).value - later.at(-1)!.diameterM)).toBeLessThan(
      3 * gaugeUncertaintyM,
    );
    const length = told(rollOf(last).woundLengthM);
    expect(Math.abs(length.value - later.at(-1)!.lengthM)).toBeLessThan(3 * length.uncertainty);
  });

  it('lets the same roll go on after a gap in which it stood', () => {
    const standing = first.at(-1)!;
    const later = wind(
      { ...paperRoll, fromDiameterM: standing.diameterM, fromMs: standing.atMs + 1_800_000 },
      steady(20, 60),
    );
    const { events, last } = run([...gauged(first, 45), ...gauged(later, 46)], paper);
    expect(codes(events)).toEqual(['started core-began-to-turn']);
    expect(last.notUsedCount).toBe(0);
    expect(Math.abs(told(rollOf(last).diameterM).value - later.at(-1)!.diameterM)).toBeLessThan(
      3 * gaugeUncertaintyM,
    );
  });

  it('says that nothing tells where nothing does', () => {
    const { last } = run([cellOf(startMs, { speedMPerS: known(20) })], paper);
    expect(last).toMatchObject({ roll: null, noRoll: { code: 'no-roll-seen' }, events: [] });
  });
});

describe('start and end with a winding signal', () => {
  const truth = wind(paperRoll, [...steady(0, 5), ...steady(20, 295)]);
  const signalled = (winding: (index: number) => 0 | 1, seed: number) =>
    gauged(truth, seed, (_, index) => ({ winding: known(winding(index)) }));

  it('follows the signal, whatever the diameter says', () => {
    const { steps, events } = run(
      signalled((index) => (index < 5 || (index >= 200 && index < 205) ? 0 : 1), 51),
      paper,
    );
    expect(codes(events)).toEqual([
      'started winding-signal-on',
      'ended winding-signal-off',
      'started winding-signal-on',
      're-anchored diameter-shifted',
    ]);
    expect(events.slice(0, 3).map(({ atMs }) => atMs)).toEqual(
      [5, 200, 205].map((index) => truth[index]!.atMs),
    );
    expect(steps[202]).toMatchObject({ roll: null, noRoll: { code: 'between-rolls' } });
  });

  it('does not end a roll whose diameter falls while the signal stays on: it takes the gauge as shifted and says so', () => {
    const cells = signalled((index) => (index < 5 ? 0 : 1), 52).map((cell, index) =>
      index < 200 ? cell : { ...cell, diameterM: known(0.1, gaugeUncertaintyM), speedMPerS: known(0.2) },
    );
    const { events } = run(cells, paper);
    expect(codes(events)).toEqual(['started winding-signal-on', 're-anchored diameter-shifted']);
    expect(events[1]!.because.text).toContain('the winding signal says that the roll is the same');
  });

  it('falls back on the diameter while the signal is missing', () => {
    const second = wind({ ...paperRoll, fromMs: truth.at(-1)!.atMs }, steady(20, 50));
    const { events } = run([...signalled((index) => (index < 5 ? 0 : 1), 53), ...gauged(second, 54)], paper);
    expect(codes(events)).toEqual([
      'started winding-signal-on',
      'ended diameter-fell-to-core',
      'started diameter-fell-to-core',
    ]);
  });

  it('does not take a finished roll that still lies there for a new one while the signal is missing', () => {
    const lying = wind({ ...paperRoll, fromDiameterM: truth.at(-1)!.diameterM, fromMs: truth.at(-1)!.atMs }, [
      ...steady(0, 25),
      ...steady(0.2, 25),
    ]);
    const cells = [...signalled((index) => (index < 299 ? 1 : 0), 55), ...gauged(lying, 56)];
    expect(run(cells, paper).last).toMatchObject({ roll: null, noRoll: { code: 'between-rolls' } });
  });

  it('does not claim to have seen a start that lies in a gap', () => {
    const before = cellOf(startMs - 3_600_000, { winding: known(0), speedMPerS: known(0) });
    const { last } = run([before, ...signalled(() => 1, 59).slice(100)], paper);
    expect(rollOf(last)).toMatchObject({ startSeen: false, startedAtMs: truth[100]!.atMs });
  });

  it('marks a roll that was on when the service began', () => {
    const { last } = run(signalled(() => 1, 57).slice(100), paper);
    expect(rollOf(last)).toMatchObject({ startSeen: false, startedAtMs: truth[100]!.atMs });
  });

  it('has a roll without a diameter where only the signal tells', () => {
    const { last } = run(
      truth.map(({ atMs }) => cellOf(atMs, { winding: known(1) })),
      paper,
    );
    expect(rollOf(last).diameterM).toBe(missing);
    expect(rollOf(last).wrapCount).toBe(missing);
  });

  it('counts on by itself where the counter is reset some seconds after the start', () => {
    const cells = gauged(truth, 58, ({ lengthM }, index) => ({
      winding: known(index < 5 ? 0 : 1),
      woundLengthM: known(index < 9 ? 7000 + lengthM : lengthM - truth[8]!.lengthM),
    }));
    const { last } = run(cells, paper);
    // Two cells at the start in which nothing tells how much of them was wound.
    expect(
      Math.abs(told(rollOf(last).woundLengthM).value - (truth.at(-1)!.lengthM - truth[5]!.lengthM)),
    ).toBeLessThan(21);
  });
});

describe('a change of what the roll is', () => {
  const truth = wind({ ...paperRoll, fromDiameterM: 0.3 }, steady(25, 400));

  it('of the grade forgets the layer thickness, not the diameter', () => {
    const { steps } = run(gauged(truth, 61), (index) =>
      index < 300 ? paper : { ...paper, gradeId: 'other', caliperM: 60e-6 },
    );
    expect(rollOf(steps[299]!).layerThicknessFrom).toBe('measured');
    expect(rollOf(steps[300]!).layerThicknessFrom).toBe('caliper');
    expect(Math.abs(rollOf(steps[300]!).layerThicknessM.value - 60e-6)).toBeLessThan(1e-6);
    expect(Math.abs(told(rollOf(steps[300]!).diameterM).value - truth[300]!.diameterM)).toBeLessThan(0.002);
  });

  it('of the core forgets the diameter, and finds it again by the next reading', () => {
    const cells = gauged(truth, 62, (_, index) =>
      index >= 300 && index < 303 ? { diameterM: missing } : {},
    );
    const { steps } = run(cells, (index) => (index < 300 ? paper : { ...paper, coreDiameterM: 0.15 }));
    expect(rollOf(steps[300]!).diameterM.kind).toBe('unknown');
    expect(Math.abs(told(rollOf(steps[303]!).diameterM).value - truth[303]!.diameterM)).toBeLessThan(
      5 * gaugeUncertaintyM,
    );
    expect(rollOf(steps[303]!).startedAtMs).toBe(truth[0]!.atMs);
  });
});

describe('the fold itself', () => {
  /** Anything a cell may hold, sense or not. */
  const quantity = (min: number, max: number) =>
    fc.oneof(
      {
        weight: 3,
        arbitrary: fc
          .tuple(
            fc.double({ min, max, noNaN: true }),
            fc.double({ min: 0, max: (max - min) / 100, noNaN: true }),
          )
          .map(([value, u]) => known(value, u)),
      },
      { weight: 1, arbitrary: fc.constant(missing) },
    );
  const anyCell = fc.record({
    gapMs: fc.oneof(
      { weight: 9, arbitrary: fc.constant(1000) },
      { weight: 1, arbitrary: fc.integer({ min: 1, max: 100_000_000 }) },
    ),
    speedMPerS: fc.oneof(
      { weight: 20, arbitrary: quantity(-2, 45) },
      { weight: 1, arbitrary: quantity(-1e12, 1e12) },
    ),
    diameterM: quantity(0, 2),
    coreRotationHz: quantity(-1, 100),
    woundLengthM: fc.oneof(
      { weight: 20, arbitrary: quantity(-10, 20_000) },
      { weight: 1, arbitrary: quantity(-1e12, 1e12) },
    ),
    winding: quantity(0, 1),
  });
  const anyCells = fc.array(anyCell, { minLength: 1, maxLength: 60 }).map((cells) => {
    let atMs = startMs;
    return cells.map(({ gapMs, ...cell }) => ({ atMs: (atMs += gapMs), ...cell }));
  });
  const sources: readonly DiameterSource[] = ['gauge', 'rotation', 'length'];

  it('never throws, never holds a number that is none, stays below 1 kB, and resumes bit-equal from its JSON', () => {
    fc.assert(
      fc.property(anyCells, fc.constantFrom(...sources), (cells, diameterFrom) => {
        const config = { ...paper, diameterFrom };
        let state = noRollSeen;
        let resumed = noRollSeen;
        for (const cell of cells) {
          const step = stepRoll(state, cell, config);
          const again = stepRoll(resumed, cell, config);
          const text = JSON.stringify(step.state);
          expect(JSON.stringify(again)).toBe(JSON.stringify(step));
          expect(text.length).toBeLessThan(1000);
          expect(JSON.stringify(step)).not.toMatch(/:null,"(m|u|value|uncertainty)"|NaN|Infinity/);
          expect(allNumbers(step).every(Number.isFinite)).toBe(true);
          expect((step.roll === null) === (step.noRoll !== null)).toBe(true);
          state = step.state;
          resumed = JSON.parse(text) as RollTrackerState;
        }
      }),
      { numRuns: 500 },
    );
  });

  it('pairs starts and ends, in order of time', () => {
    fc.assert(
      fc.property(anyCells, (cells) => {
        const kinds = run(cells, paper).events.filter(({ kind }) => kind !== 're-anchored');
        expect(kinds.every(({ kind }, index) => kind === (index % 2 === 0 ? 'started' : 'ended'))).toBe(true);
        expect(kinds.every(({ atMs }, index) => index === 0 || atMs >= kinds[index - 1]!.atMs)).toBe(true);
      }),
      { numRuns: 300 },
    );
  });

  it('refuses a cell that is not later than the one before', () => {
    const { state } = stepRoll(noRollSeen, cellOf(startMs, {}), paper);
    expect(() => stepRoll(state, cellOf(startMs, {}), paper)).toThrow(/atMs/);
  });

  it('refuses a configuration without sense', () => {
    expect(() => stepRoll(noRollSeen, cellOf(startMs, {}), { ...paper, coreDiameterM: 0 })).toThrow(
      'coreDiameterM: a finite number > 0 m is needed, got 0 m',
    );
  });
});

function allNumbers(value: unknown): readonly number[] {
  if (typeof value === 'number') return [value];
  return value !== null && typeof value === 'object' ? Object.values(value).flatMap(allNumbers) : [];
}
