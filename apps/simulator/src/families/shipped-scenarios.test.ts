import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import type { FinishedRoll } from '../people/finished-roll.js';
import { gatherRoll, NO_PARTS } from '../people/finished-rolls.js';
import { happenings } from '../run.js';
import type { Scenario } from '../scenario/scenario-schema.js';
import { openScenario } from '../shell/open-scenario.js';
import type { BandTruth, RollTruth, StateTruth } from '../truth/truth-record.js';
import type { End } from '../winder/ends.js';

/** What a scenario's first comment claims, held against the truth of its first roll (one seed: the comment names figures of this one at most to a few per cent). */
interface Truth {
  readonly states: readonly StateTruth[];
  readonly rolls: readonly FinishedRoll[];
  readonly payloads: readonly string[];
}

function truthOf(scenario: Scenario, durationS: number, seed = 1): Truth {
  const states: StateTruth[] = [];
  const rolls: FinishedRoll[] = [];
  const payloads: string[] = [];
  let parts = NO_PARTS;
  for (const happening of happenings({ scenario, seed, startMs: 0, durationS })) {
    if (happening.kind === 'message') {
      payloads.push(happening.payload);
      continue;
    }
    if (happening.truth.kind === 'state') states.push(happening.truth);
    const gathered = gatherRoll(scenario, parts, happening.truth);
    parts = gathered.parts;
    if (gathered.finished !== null) rolls.push(gathered.finished);
  }
  return { states, rolls, payloads };
}

function scenarioOf(name: string, seed = 1): Scenario {
  const opened = openScenario(`${name}.yaml`, seed);
  if (!opened.ok) throw new Error(opened.lines.join('\n'));
  return opened.scenario;
}

const told = new Set<string>();
function run(name: string, durationS: number, seed = 1): Truth {
  told.add(`${name}.yaml`);
  return truthOf(scenarioOf(name, seed), durationS, seed);
}

const roughAt = (bands: readonly BandTruth[]): readonly number[] =>
  bands.filter((band) => band.rough).map((band) => band.innerRadiusM + band.outerRadiusM);
const most = (values: readonly number[]): number => Math.max(...values);
const running = (states: readonly StateTruth[]): readonly StateTruth[] =>
  states.filter(({ phase }) => phase === 'run');
const isSmooth = ({ rolls }: Truth): boolean => rolls.length > 0 && rolls.every(({ roll }) => !roll.rough);
const lost = ({ contactLostRatio: { tending, drive } }: StateTruth): number => Math.max(tending, drive);
const edgeRms = (finished: FinishedRoll | undefined, end: End): number =>
  most((finished?.bands ?? []).map((band) => band.edgeRmsM[end]));
const ringsOf = ({ roll }: { readonly roll: RollTruth }, cause: string): readonly number[] =>
  (roll.rings ?? []).filter((ring) => ring.cause === cause).map((ring) => ring.diameterM);

/** Roughness near a diameter, and half-way to a neighbour: wraps line up in a ring and scatter between. */
function roughnessNear(bands: readonly BandTruth[], end: End, diameterM: number): number {
  const near = bands.filter((band) => Math.abs(band.innerRadiusM + band.outerRadiusM - diameterM) < 0.002);
  return Math.min(...near.map((band) => band.edgeRmsM[end]));
}

describe('what the scenarios that come with the simulator claim is so in their truth', () => {
  it('film-over-critical: dozens of wraps float nearly all the time, and every band is smooth', () => {
    const truth = run('film-over-critical', 110);
    const free = running(truth.states).map(({ freeWraps }) => freeWraps);
    expect(free.filter((count) => count > 24).length / free.length).toBeGreaterThan(0.8);
    expect(truth.rolls[0]?.roll.boundary.lasting).not.toBeNull();
    expect(isSmooth(truth)).toBe(true);
  });

  it.each([1, 2, 3, 7])(
    'film-wander: smooth at first, rough from some diameter to the end (seed %i)',
    (seed) => {
      const { rolls } = run('film-wander', 125, seed);
      const rough = roughAt(rolls[0]?.bands ?? []);
      expect(Math.min(...rough)).toBeGreaterThan(0.16);
      expect(Math.min(...rough)).toBeLessThan(0.26);
      expect(most(rough)).toBeGreaterThan(0.25);
      const boundary = rolls[0]?.roll.boundary.lasting?.diameterM ?? 0;
      expect(boundary).toBeGreaterThan(0.16);
      // Free wraps come first, rough edges with them: within a tenth of the diameter.
      expect(Math.abs(Math.min(...rough) / boundary - 1)).toBeLessThan(0.1);
    },
  );

  it('film-wander: other seeds turn rough at other diameters', () => {
    const at = [1, 2, 3, 4].map(
      (seed) => run('film-wander', 125, seed).rolls[0]?.roll.boundary.lasting?.diameterM,
    );
    expect(new Set(at).size).toBe(4);
  });

  it('paper-near-limit: clear far into the roll, free and rough near its end', () => {
    const { rolls, states } = run('paper-near-limit', 230);
    const rough = roughAt(rolls[0]?.bands ?? []);
    expect(Math.min(...rough)).toBeGreaterThan(0.75);
    expect(most(rough)).toBeGreaterThan(0.85);
    expect(
      most(
        running(states)
          .filter(({ diameterM }) => diameterM < 0.69)
          .map(({ freeWraps }) => freeWraps),
      ),
    ).toBe(0);
    expect(rolls[0]?.roll.boundary.lasting?.diameterM).toBeGreaterThan(0.72);
  });

  it('newsprint-porous: more air goes in than the peaks reach, never more than two wraps are free, all is smooth', () => {
    const truth = run('newsprint-porous', 145);
    const films = running(truth.states)
      .slice(20)
      .map(({ filmWithNipM }) => filmWithNipM);
    expect(Math.min(...films)).toBeGreaterThan(
      scenarioOf('newsprint-porous').grades['newsprint-45']!.peaks.reachM,
    );
    expect(most(truth.states.map(({ freeWraps }) => freeWraps))).toBeLessThanOrEqual(2);
    expect(isSmooth(truth)).toBe(true);
  });

  it('tissue: a film of more than half a millimetre would go in, and no more than the outermost wrap is free', () => {
    const truth = run('tissue', 110);
    expect(most(truth.states.map(({ filmWithoutNipM }) => filmWithoutNipM))).toBeGreaterThan(5e-4);
    expect(most(truth.states.map(({ freeWraps }) => freeWraps))).toBeLessThanOrEqual(1);
    expect(isSmooth(truth)).toBe(true);
  });

  it('foil: up to a dozen wraps float, rough over most of the roll and smooth at the core', () => {
    const { rolls, states } = run('foil', 100);
    const bands = rolls[0]?.bands ?? [];
    expect(most(states.map(({ freeWraps }) => freeWraps))).toBeGreaterThan(6);
    expect(bands[0]?.rough).toBe(false);
    expect(roughAt(bands).length / bands.length).toBeGreaterThan(0.7);
  });

  it('narrow-slits: hardly more than the outermost wrap is free where dozens float on the same film uncut', () => {
    const truth = run('narrow-slits', 100);
    expect(truth.rolls).toHaveLength(4);
    expect(most(truth.states.map(({ freeWraps }) => freeWraps))).toBeLessThanOrEqual(2);
    expect(isSmooth(truth)).toBe(true);
    const scenario = scenarioOf('narrow-slits');
    const [winder] = scenario.winders;
    const [station] = winder!.stations;
    const line = { ...winder!.line!, slitter: undefined };
    const nip = { ...station!.nip!, massKg: 55 };
    const uncut = { ...winder!, line, stations: [{ ...station, widthM: 1.2, nip }] };
    const wide = truthOf({ ...scenario, winders: [uncut] } as Scenario, 80);
    expect(most(wide.states.map(({ freeWraps }) => freeWraps))).toBeGreaterThan(12);
  });

  it('nip-lifted-by-bounce: contact is lost round one diameter, rough there, smooth further out', () => {
    const { rolls, states } = run('nip-lifted-by-bounce', 115);
    const off = running(states).filter((state) => lost(state) > 0.02 && state.diameterM > 0.17);
    const [from, to] = [off[0]?.diameterM ?? 0, off.at(-1)?.diameterM ?? 0];
    expect(from).toBeGreaterThan(0.18);
    expect(to).toBeLessThan(0.24);
    const rough = roughAt(rolls[0]?.bands ?? []).filter((diameterM) => diameterM > 0.17);
    expect(Math.abs(Math.min(...rough) - from)).toBeLessThan(0.006);
    expect(most(rough)).toBeLessThan(to + 0.015);
    const before = running(states).filter(({ diameterM }) => diameterM > 0.165 && diameterM < from);
    expect(most(before.slice(0, 3).map(({ inertiaRatio }) => inertiaRatio.tending))).toBeLessThan(0.6);
  });

  it('rider-skipping: contact lost again and again from about 0.6 m on, more at the end that is pressed less', () => {
    const { rolls, states } = run('rider-skipping', 300);
    const off = running(states).filter((state) => lost(state) > 0.02);
    expect(off.length).toBeGreaterThan(60);
    const skipping = running(states).filter(({ diameterM }) => diameterM > 0.62 && diameterM < 0.69);
    expect(skipping.filter((state) => lost(state) > 0).length / skipping.length).toBeGreaterThan(0.9);
    const sum = (end: End): number => off.reduce((total, state) => total + state.contactLostRatio[end], 0);
    expect(sum('drive')).toBeGreaterThan(sum('tending'));
    expect(roughAt(rolls[0]?.bands ?? []).length).toBeGreaterThan(5);
  });

  // Bands at n d/(1 + overspeed): own derivation, held against a count of laid wraps by an independent program.
  const RINGS_M = [(2 * 0.08) / 1.03, (3 * 0.08) / 1.03] as const;

  it('knife-one: one edge of one roll and the facing edge of its neighbour, with rings at n x 0.08 m/1.03', () => {
    const { rolls } = run('knife-one', 125);
    const [first, second, neighbour] = rolls;
    expect([first, second, neighbour].map((one) => [one?.roll.station, one?.roll.strip])).toEqual([
      ['a', 0],
      ['a', 1],
      ['b', undefined],
    ]);
    for (const [one, end] of [
      [first, 'drive'],
      [neighbour, 'tending'],
    ] as const) {
      expect(edgeRms(one, end)).toBeGreaterThan(1e-4);
      for (const [i, diameterM] of ringsOf(one!, 'knife 1').entries())
        expect(diameterM).toBeCloseTo(RINGS_M[i]!, 4);
      const atRing = roughnessNear(one!.bands, end, RINGS_M[1]);
      expect(atRing).toBeLessThan(0.2 * roughnessNear(one!.bands, end, RINGS_M[1] - 0.04));
    }
    for (const [one, end] of [
      [first, 'tending'],
      [neighbour, 'drive'],
      [second, 'tending'],
      [second, 'drive'],
    ] as const)
      expect(edgeRms(one, end)).toBeLessThan(2e-5);
  });

  it('knife-two: both edges of the middle roll, one edge of either neighbour, the outer edges straight', () => {
    const { rolls } = run('knife-two', 125);
    const [first, second, middle] = rolls;
    for (const end of ['tending', 'drive'] as const) expect(edgeRms(middle, end)).toBeGreaterThan(1e-4);
    expect(edgeRms(first, 'drive')).toBeGreaterThan(1e-4);
    expect(edgeRms(second, 'tending')).toBeGreaterThan(1e-4);
    expect(edgeRms(first, 'tending')).toBeLessThan(2e-5);
    expect(edgeRms(second, 'drive')).toBeLessThan(2e-5);
    expect(ringsOf(middle!, 'knife 1')).toEqual(ringsOf(middle!, 'knife 2'));
  });

  it('upstream-roller: both edges alike, lined up at 0.2 m and scattered at 0.25 m', () => {
    const { rolls } = run('upstream-roller', 125);
    const [one] = rolls;
    expect(ringsOf(one!, 'idler 3')).toEqual([0.2]);
    for (const end of ['tending', 'drive'] as const)
      expect(roughnessNear(one!.bands, end, 0.2)).toBeLessThan(0.2 * roughnessNear(one!.bands, end, 0.25));
    for (const band of one!.bands)
      expect(Math.abs(band.edgeRmsM.tending - band.edgeRmsM.drive)).toBeLessThan(1e-5);
  });

  it('felt-mark: bands at 0.15 and 0.3 m, where the period is a whole number of circumferences', () => {
    const { rolls } = run('felt-mark', 135);
    const [one] = rolls;
    expect(ringsOf(one!, 'press felt')).toEqual([0.15, 0.3]);
    // In line at 0.3 m: every wrap carries the mark at one place, and neighbours lie alike; at 0.26 m only some do.
    const between = one!.bands.filter(({ innerRadiusM }) => innerRadiusM > 0.12 && innerRadiusM < 0.135);
    const mean = between.reduce((sum, band) => sum + band.edgeRmsM.tending, 0) / between.length;
    expect(roughnessNear(one!.bands, 'tending', 0.3)).toBeLessThan(0.3 * mean);
  });

  it('unwinding-roll: lined up at 0.23 and 0.37 m, where D^2 = (sum of squares) n^2/(1 + n^2)', () => {
    const { rolls } = run('unwinding-roll', 190);
    const [one] = rolls;
    const sum = 0.152 ** 2 + 0.5 ** 2; // own derivation for equal calipers
    const expected = [1 / 2, 1].map((n) => Math.sqrt((sum * n * n) / (1 + n * n)));
    const found = ringsOf(one!, 'unwinding roll').slice(-2);
    found.forEach((diameterM, i) => expect(Math.abs(diameterM / expected[i]! - 1)).toBeLessThan(0.01));
    expect(roughnessNear(one!.bands, 'tending', found[1]!)).toBeLessThan(
      0.3 * roughnessNear(one!.bands, 'tending', found[1]! - 0.05),
    );
  });

  it('event-rings: one narrow ring at each splice and nothing else, with stop and break where they were', () => {
    const { rolls, states } = run('event-rings', 160);
    const rough = roughAt(rolls[0]?.bands ?? []);
    for (const splice of [0.18, 0.25])
      expect(rough.some((diameterM) => Math.abs(diameterM - splice) < 0.003)).toBe(true);
    expect(rough.every((at) => [0.18, 0.25].some((splice) => Math.abs(at - splice) < 0.003))).toBe(true);
    expect((rolls[0]?.roll.events ?? []).map(({ what }) => what)).toEqual([
      'splice',
      'stop',
      'web-break',
      'splice',
    ]);
    const standing = states.filter(({ speedMPerS }) => speedMPerS === 0).map(({ diameterM }) => diameterM);
    for (const at of [0.2, 0.23])
      expect(standing.some((diameterM) => Math.abs(diameterM - at) < 0.004)).toBe(true);
    expect(most(states.map(({ freeWraps }) => freeWraps))).toBeLessThanOrEqual(3);
  });

  it('sensor-faults: each fault is in the messages, and nothing is wrong with the roll', () => {
    const { payloads, states } = run('sensor-faults', 330);
    interface Drive {
      readonly t: number;
      readonly n: number;
      readonly speed: number;
      readonly diameter: number;
      readonly tension?: number;
    }
    const drives = payloads.flatMap((text) => {
      const parsed = JSON.parse(text) as Drive | number;
      return typeof parsed === 'object' && 'n' in parsed ? [parsed] : [];
    });
    const between = (from: number, to: number): Drive[] =>
      drives.filter(({ t }) => t >= from * 1000 && t < to * 1000);
    expect(new Set(between(62, 80).map(({ diameter }) => diameter)).size).toBe(1);
    expect(between(101, 109).every(({ tension }) => tension === undefined)).toBe(true);
    expect(between(131, 149)).toEqual([]);
    expect(most(between(221, 239).map(({ speed }) => speed))).toBeLessThan(7);
    expect(most(between(261, 279).map(({ tension }) => tension ?? -1))).toBeLessThan(0);
    expect(between(301, 302)[0]!.diameter - between(298, 299)[0]!.diameter).toBeGreaterThan(3.5);
    const numbers = drives.map(({ n }) => n);
    expect(new Set(numbers).size).toBeLessThan(numbers.length); // some come twice
    expect(drives.filter(({ tension }) => tension === undefined).length).toBeGreaterThan(50);
    const ends = payloads
      .filter((text) => text.includes('"load"'))
      .map((text) => JSON.parse(text) as { load: number });
    expect(most(ends.map(({ load }) => load))).toBe(0.36);
    expect(most(states.map(({ freeWraps }) => freeWraps))).toBe(0);
    expect(most(states.map(lost))).toBe(0);
  });

  it('all-well: no wrap free, no contact lost, little swing, every band smooth', () => {
    const truth = run('all-well', 190);
    expect(truth.rolls.length).toBeGreaterThanOrEqual(2);
    expect(most(truth.states.map(({ freeWraps }) => freeWraps))).toBe(0);
    expect(most(truth.states.map(lost))).toBe(0);
    expect(most(running(truth.states).map(({ swingRatio }) => swingRatio.tending))).toBeLessThan(0.3);
    expect(isSmooth(truth)).toBe(true);
  });

  it('paper-family: of eight seeds some rolls stay clear and some do not, and knives are bad in some', () => {
    const seeds = Array.from({ length: 8 }, (_, i) => i + 1);
    const scenarios = seeds.map((seed) => scenarioOf('paper-family', seed));
    const knives = scenarios.map(({ winders }) => winders[0]!.line!.slitter!.knives.length);
    expect(new Set(knives)).toEqual(new Set([0, 1]));
    const rough = seeds.map((seed) => {
      const { states } = run('paper-family', 60, seed);
      return states.some(({ freeWraps }) => freeWraps > 3);
    });
    expect(new Set(rough)).toEqual(new Set([true, false]));
  }, 30_000);
});

it('every scenario says in its first comment what happens and what a good service finds, and is held against its truth', () => {
  const folder = fileURLToPath(new URL('../../scenarios/', import.meta.url));
  const names = readdirSync(folder).filter((name) => name.endsWith('.yaml'));
  for (const name of names) {
    const comment = readFileSync(`${folder}${name}`, 'utf8').split(/^[^#]/m)[0]!;
    expect(comment.length, name).toBeGreaterThan(200);
    if (name !== 'demo.yaml' && name !== 'paper-family.yaml') {
      expect(comment, name).toContain('What happens');
      expect(comment, name).toContain('What a good service finds');
    }
  }
  expect([...told].sort()).toEqual(names.filter((name) => name !== 'demo.yaml').sort());
});
