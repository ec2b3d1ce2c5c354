import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { happenings } from './run.js';
import { readScenario } from './scenario/read-scenario.js';
import type { Scenario } from './scenario/scenario-schema.js';
import type { RollTruth, TruthRecord } from './truth/truth-record.js';

const SLITTER = readFileSync(new URL('./fixtures/slitter.yaml', import.meta.url), 'utf8');
const ONE_STRIP = `        strips:
          - { station: a, widthM: 1.1 }
`;

function scenarioOf(change: (text: string) => string): Scenario {
  const reading = readScenario(change(SLITTER));
  if (!reading.ok) throw new Error(JSON.stringify(reading.problems));
  return reading.scenario;
}

/** One station alone, with this under `line:` (and after `path:` of the station). */
function alone(line: string, more: (text: string) => string = (text) => text): Scenario {
  return scenarioOf((text) => {
    const single = text.slice(0, text.indexOf('      - id: b'));
    const slitter = / {6}slitter:\n(?: {8}.*\n)+/;
    return more(single.replace(slitter, line));
  });
}

interface Laid {
  readonly diameterM: readonly number[];
  readonly tendingM: readonly number[];
  readonly driveM: readonly number[];
}

interface Wound {
  /** By station and strip, e.g. "a" or "a/1"; the first roll only. */
  readonly edges: Readonly<Record<string, Laid>>;
  readonly rolls: readonly RollTruth[];
  readonly truth: readonly TruthRecord[];
}

function wound(scenario: Scenario, seed = 3, mostS = 1200): Wound {
  const edges: Record<string, { diameterM: number[]; tendingM: number[]; driveM: number[] }> = {};
  const rolls: RollTruth[] = [];
  const truth: TruthRecord[] = [];
  const stations = scenario.winders[0]!.stations.length;
  for (const one of happenings({ scenario, seed, startMs: 0, durationS: mostS })) {
    if (one.kind !== 'truth') continue;
    truth.push(one.truth);
    if (one.truth.kind === 'edges' && one.truth.roll === 1) {
      const key =
        one.truth.strip === undefined ? one.truth.station : `${one.truth.station}/${one.truth.strip}`;
      const laid = (edges[key] ??= { diameterM: [], tendingM: [], driveM: [] });
      laid.diameterM.push(...one.truth.radiusM.map((r) => 2 * r));
      laid.tendingM.push(...one.truth.tendingM);
      laid.driveM.push(...one.truth.driveM);
    }
    if (one.truth.kind === 'roll') rolls.push(one.truth);
    if (new Set(rolls.map((roll) => roll.station)).size === stations) break;
  }
  return { edges, rolls, truth };
}

const NEAR_M = 0.02; // stretches nearer than this are one ring: where a wave passes through 0 there is nothing to compare

/**
 * Where wraps lie like the wrap `lag` below them: the likeness over 41 neighbouring wraps, `sum x y/sum x^2`, above 0.9. A
 * wave that comes round q times a turn has the likeness cos(2 pi lag q).
 */
function aligned(laid: Laid, edge: 'tendingM' | 'driveM', lag = 1): readonly number[] {
  const x = laid[edge];
  const largest = Math.max(...x.map(Math.abs));
  const isLike = x.map((_, i) => {
    if (i < 20 + lag || i > x.length - 21) return false;
    let common = 0;
    let own = 0;
    for (let j = i - 20; j <= i + 20; j += 1) {
      common += x[j]! * x[j - lag]!;
      own += (x[j]! ** 2 + x[j - lag]! ** 2) / 2;
    }
    return own > 0.4 * largest ** 2 && common > 0.9 * own;
  });
  const found: { from: number; to: number }[] = [];
  isLike.forEach((like, i) => {
    const d = laid.diameterM[i]!;
    const last = found.at(-1);
    if (!like) return;
    if (last !== undefined && d - last.to < NEAR_M) last.to = d;
    else found.push({ from: d, to: d });
  });
  return found.map(({ from, to }) => (from + to) / 2);
}

function expectAt(found: readonly number[], expected: readonly number[], withinM: number): void {
  expect(found.length, `found ${found.map((d) => d.toFixed(4)).join(' ')}`).toBe(expected.length);
  expected.forEach((d, i) => expect(Math.abs(found[i]! - d), `${found[i]} for ${d}`).toBeLessThan(withinM));
}

describe('a wobbling knife', () => {
  // rings spaced by the bottom slitter's diameter: common practice, no source; D_n = n ds/(1 + x): own derivation
  it.each([
    [0, [0.16, 0.24, 0.32, 0.4, 0.48]],
    [0.03, [0.15534, 0.23301, 0.31068, 0.38835, 0.46602]],
  ])(
    'prints rings at n times the bottom slitter diameter over 1 + overspeed %d, 1.5 mm',
    (overspeed, expected) => {
      const { edges, rolls } = wound(
        scenarioOf((text) =>
          text.replace(
            'bottomDiameterM: 0.08\n',
            `bottomDiameterM: 0.08\n        overspeedRatio: ${overspeed}\n        knives: [{ number: 1, runOutM: 1e-4 }]\n`,
          ),
        ),
      );
      expectAt(aligned(edges['b']!, 'tendingM'), expected, 1.5e-3);
      expectAt(aligned(edges['a/0']!, 'driveM'), expected, 1.5e-3);
      // what the truth says about its rings is what was laid
      const told = rolls.find(({ station }) => station === 'b')!.rings!;
      expect(told.every(({ cause }) => cause === 'knife 1')).toBe(true);
      expectAt(
        told.filter(({ order }) => order >= 2).map(({ diameterM }) => diameterM),
        expected,
        0.5e-3,
      );
    },
  );

  it('is mirrored on the facing edge of the neighbour: what one roll gains the other lacks; every other edge is straight', () => {
    const { edges, rolls } = wound(
      scenarioOf((text) =>
        text.replace(
          'bottomDiameterM: 0.08\n',
          'bottomDiameterM: 0.08\n        knives: [{ number: 1, runOutM: 1e-4, cutNoiseM: 1e-5 }]\n',
        ),
      ),
    );
    const own = edges['a/0']!;
    const facing = edges['b']!;
    const count = Math.min(own.driveM.length, facing.tendingM.length);
    expect(count).toBeGreaterThan(1900);
    for (let i = 0; i < count; i += 1) expect(own.driveM[i]).toBeCloseTo(facing.tendingM[i]!, 9);
    expect(Math.max(...own.driveM.map(Math.abs))).toBeGreaterThan(0.9e-4);
    for (const straight of [own.tendingM, facing.driveM, edges['a/1']!.tendingM, edges['a/1']!.driveM])
      expect(Math.max(...straight.map(Math.abs))).toBeLessThan(1e-12);
    const rms = (station: string, strip: number | undefined) =>
      rolls.find((roll) => roll.station === station && roll.strip === strip)!.edgeRmsM!;
    expect(rms('a', 0).drive).toBeCloseTo(rms('b', undefined).tending, 6);
    // white steps of a wave: rms of the difference of two independent samples of a cosine is its amplitude
    expect(rms('a', 0).drive / 1e-4).toBeGreaterThan(0.8);
    expect(rms('a', 0).drive / 1e-4).toBeLessThan(1.25);
    expect(rms('a', 1).drive).toBe(0);
  });

  it('beside another: in phase they shift the roll, opposed they change its width (own derivation)', () => {
    const laid = (phaseTurns: number) =>
      wound(
        scenarioOf((text) =>
          text.replace(
            'bottomDiameterM: 0.08\n',
            `bottomDiameterM: 0.08\n        knives: [{ number: 0, runOutM: 1e-4 }, { number: 1, runOutM: 1e-4, phaseTurns: ${phaseTurns} }]\n`,
          ),
        ),
      ).edges['a/0']!;
    const [shifted, widened] = [laid(0), laid(0.5)];
    shifted.driveM.forEach((x, i) => expect(x).toBeCloseTo(shifted.tendingM[i]!, 9));
    widened.driveM.forEach((x, i) => expect(x).toBeCloseTo(-widened.tendingM[i]!, 9));
    expect(Math.max(...widened.driveM)).toBeGreaterThan(0.9e-4);
  });

  it('gets rougher as it wears: the irregular part grows with the web that it has cut', () => {
    const { edges } = wound(
      scenarioOf((text) =>
        text.replace(
          'bottomDiameterM: 0.08\n',
          'bottomDiameterM: 0.08\n        knives: [{ number: 3, wearMPerKm: 2e-5 }]\n',
        ),
      ),
    );
    const { driveM, diameterM } = edges['a/1']!;
    const rmsNear = (km: number) => {
      const at = Math.sqrt(0.01 + (4 * 1e-4 * km * 1000) / Math.PI);
      const near = driveM.filter((_, i) => Math.abs(diameterM[i]! - at) < 0.02);
      return Math.sqrt(near.reduce((sum, x) => sum + x * x, 0) / near.length);
    };
    expect(rmsNear(0.6) / (2e-5 * 0.6)).toBeCloseTo(1, 0);
    expect(rmsNear(1.6) / rmsNear(0.6)).toBeGreaterThan(2);
  });
});

describe('what turns upstream', () => {
  it('a roller between slitter and winding roll prints rings at n times its diameter (own derivation), on both edges alike', () => {
    const { edges } = wound(
      alone(`      slitter:\n        bottomDiameterM: 0.08\n${ONE_STRIP}`, (text) =>
        text.replace(
          '        nip: null',
          '        nip: null\n        path: { idlers: [{ diameterM: 0.12, axialM: 1e-4 }] }',
        ),
      ),
    );
    expectAt(aligned(edges['a']!, 'driveM'), [0.12, 0.24, 0.36, 0.48], 1.5e-3);
    edges['a']!.driveM.forEach((x, i) => expect(x).toBeCloseTo(edges['a']!.tendingM[i]!, 12));
  });

  it('a roller before the slitter prints the same rings, by as much as the web moves on its way to the knives', () => {
    const { edges } = wound(
      alone(
        `      idlers: [{ diameterM: 0.12, axialM: 1e-4 }]\n      slitter:\n        bottomDiameterM: 0.08\n        spanM: 0.09\n${ONE_STRIP}`,
      ),
    );
    expectAt(aligned(edges['a']!, 'driveM'), [0.12, 0.24, 0.36, 0.48], 1.5e-3);
    const largest = Math.max(...edges['a']!.driveM.map(Math.abs));
    expect(largest / (2e-4 * Math.sin((Math.PI * 0.09) / (Math.PI * 0.12)))).toBeCloseTo(1, 1);
  });

  it('a mark once per turn of a 1 m roller lines up at 0.25, 0.333, 0.5 and 1.0 m, every 4th, 3rd, 2nd, each wrap (own derivation)', () => {
    const { edges } = wound(
      alone(
        '      idlers: [{ name: felt, diameterM: 1.0, axialM: 3e-4, shape: pulse, pulseTurns: 0.2 }]\n',
        (text) => text.replace('setEndDiameterM: 0.5', 'setEndDiameterM: 1.06'),
      ),
    );
    const at = (lag: number) => aligned(edges['a']!, 'driveM', lag);
    const nearest = (found: readonly number[], d: number) => Math.min(...found.map((x) => Math.abs(x - d)));
    expect(nearest(at(4), 0.25)).toBeLessThan(4e-3);
    expect(nearest(at(3), 1 / 3)).toBeLessThan(4e-3);
    expect(nearest(at(2), 0.5)).toBeLessThan(4e-3);
    expect(nearest(at(1), 1.0)).toBeLessThan(4e-3);
    expect(nearest(at(1), 0.5)).toBeGreaterThan(0.1); // there only every second wrap is marked
  });

  it('an unwinding roll prints rings where D² = (D0² + Du0²) n²/(1 + n²): 0.449, 0.711, 0.899 m for n = 1/2, 1, 2 (own derivation)', () => {
    const { edges, rolls } = wound(
      alone('      unwind: { diameterM: 1.0, axialM: 2e-4 }\n', (text) =>
        text.replace('setEndDiameterM: 0.5', 'setEndDiameterM: 0.95').replace('reachM: 1e-6', 'reachM: 2e-7'),
      ),
    );
    const once = aligned(edges['a']!, 'driveM', 1);
    const twice = aligned(edges['a']!, 'driveM', 2);
    const nearest = (found: readonly number[], d: number) => Math.min(...found.map((x) => Math.abs(x - d)));
    expect(nearest(once, 0.7106)).toBeLessThan(2.5e-3);
    expect(nearest(once, 0.8989)).toBeLessThan(2.5e-3);
    expect(nearest(twice, 0.4494)).toBeLessThan(2.5e-3);
    const told = (order: number) =>
      rolls[0]!.rings!.find((ring) => ring.cause === 'unwinding roll' && ring.order === order)!.diameterM;
    expect(Math.abs(told(1) - 0.7106)).toBeLessThan(2.5e-3);
    expect(Math.abs(told(2) - 0.8989)).toBeLessThan(2.5e-3);
    expect(Math.abs(told(1 / 2) - 0.4494)).toBeLessThan(2.5e-3);
  });

  it('a vibration of fixed frequency prints rings at n V/(pi f), and they move with speed; a roller’s do not (own derivation)', () => {
    // steering by a rocking nip at 43.7 Hz and 20 m/s, as a 150 mm slitter with 3 % overspeed would: 0.1457, 0.2914, 0.437 m
    const nip = `        nip:
          rollerDiameterM: 0.2
          coverModulusPa: 4e6
          stiffnessNPerM2: 5e6
          dampingRatio: 0.1
          massKg: 30
          loadNPerM: 2000
          excitation: [{ frequencyHz: 43.7, amplitudeM: 2e-5, driveShiftTurns: 0.5 }]
        path: { steeringM: 5e-3 }`;
    const ringsAt = (speed: number) => {
      const scenario = alone('', (text) =>
        text
          .replace('samplePeriodS: 0.2', 'samplePeriodS: 0.2\ntimeStepS: 0.0005')
          .replace('        nip: null', nip)
          .replace('runSpeedMPerS: 20', `runSpeedMPerS: ${speed}`),
      );
      return aligned(wound(scenario).edges['a']!, 'driveM').filter((d) => d > 0.2 && d < 0.47);
    };
    expectAt(ringsAt(20), [0.2914, 0.437], 3e-3);
    expectAt(ringsAt(22), [0.3205], 3e-3);
  });
});

describe('a set of rolls', () => {
  it('is wound at one speed by all stations, ends when the first roll is full, and comes off together', () => {
    const { rolls } = wound(
      scenarioOf((text) =>
        text.replace(/setEndDiameterM: 0.5\n(?=[^]*setEndDiameterM)/, 'setEndDiameterM: 0.4\n'),
      ),
    );
    expect(rolls).toHaveLength(3);
    expect(new Set(rolls.map((roll) => roll.atMs)).size).toBe(1);
    for (const roll of rolls) {
      expect(Math.abs(roll.diameterM - 0.4)).toBeLessThan(1e-3);
      expect(roll.lengthM).toBe(rolls[0]!.lengthM);
    }
  });
});
