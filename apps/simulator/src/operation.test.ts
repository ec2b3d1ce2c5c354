import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { Message } from './instruments/message.js';
import { happenings, type Run } from './run.js';
import { readScenario } from './scenario/read-scenario.js';
import type { Scenario } from './scenario/scenario-schema.js';
import { begin, stationModels, step } from './simulation.js';
import type { RollTruth, TruthRecord } from './truth/truth-record.js';

const SLITTER = readFileSync(new URL('./fixtures/slitter.yaml', import.meta.url), 'utf8');
const SMALL = readFileSync(new URL('./fixtures/small.yaml', import.meta.url), 'utf8');

function scenarioOf(text: string): Scenario {
  const reading = readScenario(text);
  if (!reading.ok) throw new Error(JSON.stringify(reading.problems));
  return reading.scenario;
}

/** The slitter line with more under `line:`. */
const line = (more: string, change = (text: string): string => text): Scenario =>
  scenarioOf(change(SLITTER.replace('      slitter:\n', `${more}      slitter:\n`)));

function run(scenario: Scenario, durationS: number, more: Partial<Run> = {}) {
  const truth: TruthRecord[] = [];
  const messages: Message[] = [];
  for (const one of happenings({ scenario, seed: 5, startMs: 0, durationS, ...more }))
    if (one.kind === 'truth') truth.push(one.truth);
    else messages.push(one);
  const of = <Kind extends TruthRecord['kind']>(kind: Kind) =>
    truth.filter((one) => one.kind === kind) as Extract<TruthRecord, { kind: Kind }>[];
  return {
    states: of('state'),
    rolls: of('roll'),
    bands: of('band'),
    messages,
    drive: messages
      .filter(({ topic }) => topic.endsWith('/drive') && !topic.includes('/nip/'))
      .map(({ payload }) => JSON.parse(payload) as Drive),
  };
}

interface Drive {
  readonly t: number;
  readonly speed?: number;
  readonly diameter?: number;
  readonly tension?: number;
  readonly turns?: number;
  readonly grade?: string;
}

const everySecond = (text: string): string => text.replace('everyS: 10', 'everyS: 1');

describe('operation', () => {
  it('a stop: the line stands for its time, every roll goes on where it was, and each truth notes it', () => {
    const { states, rolls } = run(line('      stops: [{ at: { atS: 20 }, forS: 15 }]\n', everySecond), 200);
    const standing = states.filter(
      ({ station, phase, speedMPerS }) => station === 'a' && phase === 'stop' && speedMPerS === 0,
    );
    expect(standing.length).toBeGreaterThanOrEqual(14);
    expect(standing.length).toBeLessThanOrEqual(16);
    const first = rolls.filter(({ roll }) => roll === 1);
    expect(first).toHaveLength(3);
    for (const roll of first) expect(roll.events!.map(({ what }) => what)).toEqual(['stop']);
    expect(Math.abs(first[0]!.diameterM - 0.5)).toBeLessThan(1e-3);
  });

  it('a web break: either the set goes on after threading, or it comes off as it is; the tension is gone meanwhile', () => {
    const broken = (roll: string) =>
      run(line(`      breaks: [{ at: { diameterM: 0.3 }, forS: 10, roll: ${roll} }]\n`, everySecond), 120);
    const on = broken('goes-on');
    const off = broken('ends');
    const during = on.states.filter(({ phase }) => phase === 'break');
    expect(during.length).toBeGreaterThan(8);
    for (const state of during) {
      expect(state.tensionNPerM).toBeLessThan(60);
      expect(Math.abs(state.diameterM - 0.3)).toBeLessThan(3e-3);
    }
    expect(Math.abs(on.rolls[0]!.diameterM - 0.5)).toBeLessThan(1e-3);
    expect(Math.abs(off.rolls[0]!.diameterM - 0.3)).toBeLessThan(3e-3);
    expect(off.rolls[0]!.events!.map(({ what }) => what)).toEqual(['web-break']);
    expect(off.states.some(({ roll, diameterM }) => roll === 2 && diameterM > 0.11)).toBe(true);
  });

  it('an empty unwinding roll is followed by a new one with a splice', () => {
    const scenario = line(
      '      unwind: { diameterM: 0.4, coreDiameterM: 0.1, axialM: 1e-4 }\n',
      everySecond,
    );
    const { rolls, states } = run(scenario, 100);
    expect(rolls[0]!.events!.map(({ what }) => what)).toEqual(['splice']);
    const unwinding = states.filter(({ station }) => station === 'b').map((s) => s.unwindDiameterM!);
    expect(Math.min(...unwinding)).toBeLessThan(0.13);
    expect(unwinding.filter((d, i) => i > 0 && d > unwinding[i - 1]!)).toHaveLength(1);
  });

  it('what is unwound is wound: the squares of both diameters keep their sum (same caliper; 0.2 %)', () => {
    const scenario = line('      unwind: { diameterM: 1.0 }\n', everySecond);
    const { states } = run(scenario, 60);
    for (const { station, diameterM, unwindDiameterM } of states)
      if (station === 'a')
        expect(Math.abs((diameterM ** 2 + unwindDiameterM! ** 2) / 1.01 - 1)).toBeLessThan(2e-3);
  });

  it('a splice shifts the web where nothing trims it, and bumps the nip', () => {
    const spliced = SMALL.replace(/ {8}programme: .*\n/, '')
      .replace(
        '    stations:',
        '    line:\n      programme: { threadSpeedMPerS: 1, threadS: 1, runSpeedMPerS: 5, accelerationMPerS2: 2, setChangeS: 6 }\n      splices: [{ at: { diameterM: 0.11 }, thicknessM: 3e-4, offsetM: 2e-3 }]\n    stations:',
      )
      .replace('name: Small', 'name: Small\ntruth: { everyS: 0.2, edgesEveryWraps: 1 }');
    const { rolls, states } = run(scenarioOf(spliced), 40);
    const splice = rolls[0]!.events![0]!;
    expect(splice.what).toBe('splice');
    const swing = (from: number, to: number) =>
      Math.max(...states.filter((s) => s.atMs > from && s.atMs <= to).map((s) => s.swingRatio.tending));
    expect(swing(splice.atMs - 200, splice.atMs + 600)).toBeGreaterThan(
      2 * swing(splice.atMs - 3000, splice.atMs - 400),
    );
    expect(rolls[0]!.edgeRmsM!.tending).toBeGreaterThan(5e-5);
  });

  it('a grade change inside a set is told, changes what is wound, and is undone at the next set', () => {
    const text = SLITTER.replace(
      '        nip: null\n',
      '        nip: null\n        gradeChanges: [{ at: { diameterM: 0.3 }, grade: thick }]\n',
    ).replace(
      'winders:',
      `${SLITTER.slice(SLITTER.indexOf('  sheet:'), SLITTER.indexOf('winders:')).replace('sheet:', 'thick:').replace('Sheet', 'Thick').replace('100e-6', '200e-6')}winders:`,
    );
    const { drive, rolls } = run(scenarioOf(text), 110);
    const grades = drive.filter((_, i) => i % 2 === 0).map(({ grade }) => grade);
    expect(grades[10]).toBe('Sheet');
    const change = grades.indexOf('Thick');
    expect(change).toBeGreaterThan(50);
    expect(grades.slice(change).includes('Sheet')).toBe(true);
    expect(rolls[0]!.events!.map(({ what }) => what)).toEqual(['grade-change']);
    // 0.1 to 0.3 m with 100 um, the rest with 200 um
    expect(rolls[0]!.wraps / (1000 + (rolls[0]!.diameterM - 0.3) / 2 / 200e-6)).toBeCloseTo(1, 1);
  });

  it('tension follows its recipe, straight between the points', () => {
    const { states } = run(
      line('', (text) =>
        everySecond(text).replace(
          '{ tensionNPerM: 200 }',
          '{ tensionNPerM: 200, recipe: [{ diameterM: 0.1, tensionNPerM: 300 }, { diameterM: 0.5, tensionNPerM: 100 }] }',
        ),
      ),
      60,
    );
    for (const { station, diameterM, tensionNPerM, phase } of states)
      if (station === 'a' && phase === 'run')
        expect(Math.abs(tensionNPerM - (350 - 500 * diameterM))).toBeLessThan(4);
  });
});

describe('a crew that reads along', () => {
  const slower = (readiness: string) =>
    run(
      scenarioOf(
        SMALL.replace(
          '        operator:\n          - { at: { diameterM: 0.115 }, speedRatio: 0.6 }\n',
          readiness,
        ),
      ),
      30,
      {
        react: ({ messages }) =>
          messages.some(
            ({ topic, payload }) =>
              topic.endsWith('/drive') && (JSON.parse(payload) as Drive).diameter! > 105,
          )
            ? [{ winder: 'w', station: 's', speedRatio: 0.5 }]
            : [],
      },
    ).states.filter(({ diameterM }) => diameterM > 0.11 && diameterM < 0.115);

  it('is heard: the line slows down', () => {
    for (const { speedMPerS } of slower('')) expect(Math.abs(speedMPerS - 2.5)).toBeLessThan(0.1);
  });

  it('is not heard in a shift that does not react', () => {
    const states = slower('        shifts: [{ fromS: 0, forS: 1000, reactRatio: 0 }]\n');
    for (const { speedMPerS } of states) expect(Math.abs(speedMPerS - 5)).toBeLessThan(0.1);
  });

  it('by script acts on a swing that it sees, after its time to react', () => {
    const text = SMALL.replace('amplitudeM: 50e-6', 'amplitudeM: 150e-6').replace(
      '{ at: { diameterM: 0.115 }, speedRatio: 0.6 }',
      '{ at: { swingAbove: 0.1, forS: 1, reactionS: 3 }, speedRatio: 0.4 }',
    );
    const { states } = run(scenarioOf(text), 20);
    const seen = states.find(({ swingRatio }) => swingRatio.tending > 0.1)!;
    const slowed = states.find(({ atMs, speedMPerS }) => atMs > seen.atMs && speedMPerS < 2.5)!;
    expect(slowed.atMs - seen.atMs).toBeGreaterThan(3500);
    expect(slowed.atMs - seen.atMs).toBeLessThan(8000);
  });
});

describe('the roll', () => {
  it('grows lanes: one 0.5 % thicker stands out by e D/4 if nothing yields, half of it if half does (own derivation)', () => {
    const lanes = (yieldRatio: number) =>
      run(
        line('      web: { lanes: [{ fromM: 0.1, toM: 0.2, ratio: 1.005 }] }\n', (text) =>
          text.replaceAll(
            '        nip: null\n',
            `        nip: null\n        rollBody: { yieldRatio: ${yieldRatio} }\n`,
          ),
        ),
        110,
      ).rolls.find(({ station, strip }) => station === 'a' && strip === 0)!;
    const heights = lanes(0).lanes!.map(({ heightM }) => heightM);
    expect(heights).toHaveLength(3);
    expect((heights[1]! - heights[0]!) / ((0.005 * (0.5 - 0.1)) / 2)).toBeCloseTo(1, 1);
    const half = lanes(0.5).lanes!.map(({ heightM }) => heightM);
    expect((half[1]! - half[0]!) / (heights[1]! - heights[0]!)).toBeCloseTo(0.5, 2);
  });

  it('is touched by the nip on its thick lanes only, once the others have fallen back: there the web floats', () => {
    const nip = `        nip:
          rollerDiameterM: 0.2
          coverModulusPa: 3e6
          stiffnessNPerM2: 2e6
          dampingRatio: 0.1
          massKg: 40
          loadNPerM: 300`;
    const film = (ratio: number) => {
      const text = SLITTER.slice(0, SLITTER.indexOf('      - id: b'))
        .replace(
          / {6}slitter:\n(?: {8}.*\n)+/,
          `      web: { lanes: [{ fromM: 0, toM: 0.55, ratio: ${ratio} }] }\n`,
        )
        .replace('        nip: null', nip);
      return run(scenarioOf(everySecond(text)), 100);
    };
    const near = ({ states }: ReturnType<typeof film>) => states.find((s) => s.diameterM > 0.4)!.filmWithNipM;
    const lifted = ({ bands }: ReturnType<typeof film>) =>
      bands.filter((band) => band.innerRadiusM > 0.15).every((band) => band.liftedWraps === band.wraps);
    const uneven = film(0.98);
    const even = film(1);
    expect(lifted(uneven)).toBe(true);
    expect(even.bands.every((band) => band.liftedWraps === 0)).toBe(true);
    // half the face carries all the load: twice the load lets in about 2^-0.2 of the air (own numerical solution: -0.19 to -0.22)
    expect(near(even) / near(uneven)).toBeGreaterThan(2 ** 0.15);
    expect(near(even) / near(uneven)).toBeLessThan(2 ** 0.25);
  });

  it('shows its core turns to an encoder, and is thinner next day, when the air has bled off', () => {
    const text = SMALL.replace(
      '        instruments:\n',
      '        instruments:\n          turns: { quantum: 0.001 }\n',
    );
    const { drive, rolls, states } = run(scenarioOf(text), 30);
    const roll = rolls[0]!;
    const most = Math.max(...drive.map(({ turns }) => turns!));
    expect(Math.abs(most - roll.coreTurns!)).toBeLessThan(0.01);
    expect(roll.wraps).toBe(Math.floor(roll.coreTurns!));
    const airM = states.find(({ diameterM }) => diameterM > 0.11)!.filmM;
    const lost = (roll.diameterM - roll.remeasuredDiameterM!) / 2 / roll.wraps;
    expect(lost).toBeGreaterThan(0);
    expect(lost).toBeLessThan(airM);
  });

  it('is the smaller the softer its web stack is: by pressure over modulus', () => {
    const grown = (modulus: string) => {
      const text = SLITTER.replaceAll(
        '        nip: null\n',
        `        nip: null\n        rollBody: { ${modulus} }\n`,
      );
      return run(scenarioOf(text), 110).rolls.find(({ station }) => station === 'b')!;
    };
    const stiff = grown('yieldRatio: 0.5');
    const soft = grown('radialModulusPa: 5e6');
    const layer = (roll: RollTruth) => (Math.PI * (roll.diameterM ** 2 - 0.01)) / 4 / roll.lengthM;
    expect(layer(stiff) / layer(soft) - 1).toBeGreaterThan(0.009);
    expect(layer(stiff) / layer(soft) - 1).toBeLessThan(0.011); // 50 kPa over 5 MPa
  });
});

describe('what the nip sends', () => {
  const nipChanged = (more: string) =>
    scenarioOf(
      SMALL.replace('name: Small', 'name: Small\ntruth: { everyS: 0.2 }')
        .replace('massKg: 50', `massKg: 50\n          ${more}`)
        .replace('amplitudeM: 50e-6', 'amplitudeM: 150e-6'),
    );

  it('are wave forms at the stated rate, one block an end, stamped at their first sample', () => {
    const { messages, states } = run(nipChanged('wave: { rateHz: 500, lengthS: 2, everyS: 6 }'), 20);
    const blocks = messages
      .filter(({ topic }) => topic === 'demo/lakeside/w/s/wave/tending')
      .map(({ payload }) => JSON.parse(payload) as { t: number; rateHz: number; acceleration: number[] });
    expect(blocks.map(({ t }) => t)).toEqual([0, 6000, 12000]);
    for (const { t, rateHz, acceleration } of blocks) {
      expect(rateHz).toBe(500);
      expect(acceleration).toHaveLength(1000);
      if (t === 0) continue;
      // towards the roll, as the truth's peak inertia force over the closing force says (both ends alike here)
      const during = states.filter(({ atMs }) => atMs > t && atMs <= t + 2000);
      const peak = Math.max(...during.map(({ inertiaRatio }) => inertiaRatio.tending));
      expect((Math.max(...acceleration) * 25) / 150 / peak).toBeGreaterThan(0.9);
      expect((Math.max(...acceleration) * 25) / 150 / peak).toBeLessThan(1.1);
    }
    expect(messages.some(({ topic }) => topic === 'demo/lakeside/w/s/wave/drive')).toBe(true);
  });

  it('is less swing at the load cells than at the nip, by the share of the mass inboard of them (own arithmetic)', () => {
    const { messages, states } = run(nipChanged('inboardMassRatio: 0.75'), 15);
    const cells = new Map(
      messages
        .filter(({ topic }) => topic === 'demo/lakeside/w/s/nip/tending')
        .map(({ payload }) => JSON.parse(payload) as { t: string; swing: number })
        .map(({ t, swing }) => [Date.parse(t), swing / 100] as const),
    );
    const seen = states.filter((s) => s.phase === 'run' && s.atMs > 5000 && s.atMs < 9000);
    expect(seen.length).toBeGreaterThan(10);
    for (const { atMs, swingRatio, contactLostRatio } of seen) {
      expect(contactLostRatio.tending).toBe(0);
      expect(cells.get(atMs)! / swingRatio.tending).toBeGreaterThan(0.2);
      expect(cells.get(atMs)! / swingRatio.tending).toBeLessThan(0.3);
    }
  });
});

describe('the path', () => {
  const film = (more: string) => {
    const text = SLITTER.slice(0, SLITTER.indexOf('      - id: b')).replace(
      / {6}slitter:\n(?: {8}.*\n)+/,
      more,
    );
    const edges = [...happenings({ scenario: scenarioOf(text), seed: 2, startMs: 0, durationS: 80 })].flatMap(
      (one) => (one.kind === 'truth' && one.truth.kind === 'edges' ? [one.truth] : []),
    );
    return edges.flatMap(({ driveM, radiusM }) => driveM.map((m, i) => ({ m, diameterM: 2 * radiusM[i]! })));
  };
  const at = (laid: ReturnType<typeof film>, diameterM: number) =>
    laid.find((one) => one.diameterM > diameterM)!.m;

  it('without a guide keeps a step of the web; a guide takes it out, but for its deadband', () => {
    const step = '      web: { steps: [{ atS: 20, m: 5e-3 }] }\n';
    const free = film(step);
    const guided = film(`${step}      guide: { timeS: 1, deadbandM: 2e-4 }\n`);
    expect(at(free, 0.15)).toBe(0);
    expect(at(free, 0.38)).toBeCloseTo(5e-3, 9);
    expect(Math.max(...guided.map(({ m }) => m))).toBeGreaterThan(1e-3);
    expect(Math.abs(at(guided, 0.38))).toBeLessThanOrEqual(2.1e-4);
  });

  it('lets a guide whose sensor drifts carry the web away', () => {
    const laid = film('      guide: { timeS: 1, driftMPerHour: 0.05 }\n');
    expect(at(laid, 0.38) / ((-0.05 / 3600) * 55)).toBeGreaterThan(0.8);
    expect(at(laid, 0.38) / ((-0.05 / 3600) * 55)).toBeLessThan(1.2);
  });

  it('moves all rolls of a shaft alike, within its end play', () => {
    const text = SLITTER.replace(
      '        nip: null\n',
      '        nip: null\n        path: { shaft: { playM: 2e-3, timeS: 2, jumpM: 5e-3 } }\n',
    );
    const edges = [...happenings({ scenario: scenarioOf(text), seed: 2, startMs: 0, durationS: 80 })].flatMap(
      (one) => (one.kind === 'truth' && one.truth.kind === 'edges' ? [one.truth] : []),
    );
    const of = (station: string, strip?: number) =>
      edges.filter((one) => one.station === station && one.strip === strip).flatMap(({ driveM }) => driveM);
    const [first, second, other] = [of('a', 0), of('a', 1), of('b')];
    expect(Math.max(...first.map(Math.abs))).toBeGreaterThan(5e-4);
    expect(Math.max(...first.map(Math.abs))).toBeLessThanOrEqual(1.001e-3);
    first.slice(0, 500).forEach((m, i) => expect(second[i]).toBeCloseTo(m, 6));
    expect(Math.max(...other.map(Math.abs))).toBe(0);
  });
});

it('converges in its steps: with half the sample period the edges roughen as much, and the roll is as large', () => {
  const at = (periodS: number) => {
    const text = SLITTER.replace('samplePeriodS: 0.2', `samplePeriodS: ${periodS}`)
      .replace(
        'bottomDiameterM: 0.08\n',
        'bottomDiameterM: 0.08\n        knives: [{ number: 1, runOutM: 1e-4 }]\n',
      )
      .replaceAll(
        '        nip: null\n',
        '        nip: null\n        path: { shaft: { playM: 1e-3, timeS: 3 } }\n',
      );
    return run(scenarioOf(text), 110).rolls.find(({ station }) => station === 'b')!;
  };
  const [coarse, fine] = [at(0.2), at(0.05)];
  expect(Math.abs(coarse.edgeRmsM!.tending / fine.edgeRmsM!.tending - 1)).toBeLessThan(0.03);
  expect(Math.abs(coarse.lengthM / fine.lengthM - 1)).toBeLessThan(2e-3);
  const rings = (roll: RollTruth) => roll.rings!.map(({ diameterM }) => Number(diameterM.toFixed(4)));
  expect(rings(coarse)).toEqual(rings(fine));
});

it('a whole line is plain data: stored as JSON and resumed it goes on byte for byte', () => {
  const models = stationModels(
    line(
      '      unwind: { diameterM: 1.0, axialM: 1e-4 }\n      guide: { timeS: 2 }\n      stops: [{ at: { atS: 8 }, forS: 2 }]\n',
    ),
  );
  const forward = (start: ReturnType<typeof begin>, periods: number) => {
    let state = start;
    const told: unknown[] = [];
    for (let n = 0; n < periods; n += 1) {
      const next = step(models, state);
      told.push(next.messages, next.truth);
      state = next.state;
    }
    return { state, told };
  };
  const half = forward(begin(models, 1, 0), 60);
  const whole = forward(half.state, 60);
  expect(forward(JSON.parse(JSON.stringify(half.state)) as typeof half.state, 60).told).toEqual(whole.told);
});
