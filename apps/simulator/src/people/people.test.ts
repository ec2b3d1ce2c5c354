import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readScenario } from '../scenario/read-scenario.js';
import type { BandTruth, RollTruth } from '../truth/truth-record.js';
import type { FinishedRoll } from './finished-roll.js';
import { gatherRoll, NO_PARTS } from './finished-rolls.js';
import { roughnessM } from './grade-edges.js';
import { peopleSay } from './people-say.js';
import { type People, peopleSchema } from './people-schema.js';
import type { PeopleRecord } from './people-record.js';
import { trueRings } from './true-rings.js';

const reading = readScenario(readFileSync(new URL('../fixtures/small.yaml', import.meta.url), 'utf8'));
if (!reading.ok) throw new Error('the small scenario is wrong');
const { scenario } = reading;
const winder = scenario.winders[0]!;
const station = winder.stations[0]!;
const grade = scenario.grades['film']!;
const atMs = 1_000_000;

function band(index: number, tending: number, drive: number): BandTruth {
  const innerRadiusM = 0.05 + index * 0.001;
  const outerRadiusM = innerRadiusM + 0.001;
  const edgeRmsM = { tending, drive };
  return {
    kind: 'band',
    atMs,
    winder: 'w',
    station: 's',
    roll: 1,
    innerRadiusM,
    outerRadiusM,
    wraps: 20,
    edgeRmsM,
    freeWraps: 0,
    liftedWraps: 0,
    rough: false,
  };
}

function rollOf(roll: number, bands: readonly BandTruth[]): FinishedRoll {
  const truth: RollTruth = {
    kind: 'roll',
    atMs,
    winder: 'w',
    station: 's',
    roll,
    startedAtMs: 0,
    coreDiameterM: 0.1,
    diameterM: 0.2,
    wraps: 1000,
    lengthM: 500,
    boundary: { first: null, lasting: null },
    contactLost: { first: null, totalS: 0 },
    rough: false,
    roughBands: [],
  };
  return { roll: truth, bands, edges: [], winder, station, grade };
}

/** Fifty bands; the tending edge has two rings and a wide rough zone, the drive edge is even. */
const ROUGH = Array.from({ length: 50 }, (_, i) => {
  if (i === 10 || i === 20 || i === 21) return band(i, 4e-4, 5e-5);
  return i >= 40 ? band(i, 3e-4, 5e-5) : band(i, 5e-5, 5e-5);
});
const RINGS_M = [0.0605, 0.071] as const;

const people = (section: object): People => peopleSchema.parse(section);
const ofKind = <K extends PeopleRecord['kind']>(said: readonly PeopleRecord[], kind: K) =>
  said.filter((one): one is Extract<PeopleRecord, { readonly kind: K }> => one.kind === kind);
const SEEDS = Array.from({ length: 1000 }, (_, i) => i);

describe('the grader', () => {
  const even = (roughM: number): FinishedRoll =>
    rollOf(
      1,
      Array.from({ length: 50 }, (_, i) => band(i, roughM, roughM)),
    );
  const limits = { goodBelowM: 1e-4, acceptableBelowM: 2e-4, poorBelowM: 4e-4 };
  const steady = people({
    grader: { ...limits, bothEndsChance: 1, oneEndChance: 0, raterSpread: 0, repeatSpread: 0 },
  });

  it.each([
    [0.5e-4, 'good'],
    [1.5e-4, 'acceptable'],
    [3e-4, 'poor'],
    [6e-4, 'rejected'],
  ] as const)('with a steady eye rates an even edge of %d m %s at both ends', (roughM, rating) => {
    const said = ofKind(peopleSay(steady, even(roughM), 5), 'edge-rating');
    expect(said.map((one) => [one.end, one.rating])).toEqual([
      ['tending', rating],
      ['drive', rating],
    ]);
  });

  it('judges by what all but the worst share of the wraps stay below', () => {
    expect(roughnessM(ROUGH, 'tending', 0.05)).toBe(4e-4);
    expect(roughnessM(ROUGH, 'tending', 0.07)).toBe(3e-4);
    expect(roughnessM(ROUGH, 'tending', 0.3)).toBe(5e-5);
    expect(roughnessM([], 'tending', 0.05)).toBe(0);
  });

  it('looks at both edges, one or none as often as stated (four standard errors of 1000 rolls)', () => {
    const plan = people({ grader: { ...limits, bothEndsChance: 0.6, oneEndChance: 0.3 } });
    const counts = [0, 0, 0];
    for (const seed of SEEDS) counts[peopleSay(plan, even(1e-4), seed).length]! += 1;
    expect(Math.abs(counts[2]! - 600)).toBeLessThan(4 * Math.sqrt(1000 * 0.6 * 0.4));
    expect(Math.abs(counts[1]! - 300)).toBeLessThan(4 * Math.sqrt(1000 * 0.3 * 0.7));
    expect(Math.abs(counts[0]! - 100)).toBeLessThan(4 * Math.sqrt(1000 * 0.1 * 0.9));
  });

  it('disagrees with itself near a limit, and far less often far from it', () => {
    const plan = people({
      grader: { ...limits, bothEndsChance: 1, oneEndChance: 0, raterSpread: 0, repeatSpread: 0.2 },
    });
    const disagreement = (roughM: number): number =>
      SEEDS.filter((seed) => {
        const [a, b] = ofKind(peopleSay(plan, even(roughM), seed), 'edge-rating');
        return a!.rating !== b!.rating;
      }).length / SEEDS.length;
    // At the limit each look falls to either side alike: half of the pairs differ.
    expect(disagreement(2e-4)).toBeGreaterThan(0.43);
    expect(disagreement(2e-4)).toBeLessThan(0.57);
    // ln(1.4) = 1.68 spreads to either limit: at most 2 x 0.093 of the pairs.
    expect(disagreement(1.414e-4)).toBeLessThan(0.25);
    expect(disagreement(0.5e-4)).toBeLessThan(0.01);
  });

  it('has a habit that stays all run: the share of good rolls differs from run to run more than from looks alone', () => {
    const habit = people({
      grader: { ...limits, bothEndsChance: 1, oneEndChance: 0, raterSpread: 0.5, repeatSpread: 0 },
    });
    for (const seed of SEEDS.slice(0, 20)) {
      const ratings = [1, 2, 3].flatMap((n) =>
        ofKind(
          peopleSay(habit, { ...even(1e-4), roll: { ...even(1e-4).roll, roll: n } }, seed),
          'edge-rating',
        ).map((one) => one.rating),
      );
      expect(new Set(ratings).size).toBe(1);
    }
    const first = SEEDS.map((seed) => ofKind(peopleSay(habit, even(1e-4), seed), 'edge-rating')[0]!.rating);
    expect(new Set(first).size).toBeGreaterThan(1);
  });
});

describe('rings', () => {
  it('are narrow runs of rough bands of one edge; a wide rough zone is none', () => {
    const found = trueRings(ROUGH, 'tending', { visibleM: 1e-4, widestM: 0.005 });
    expect(found.map((ring) => Number(ring.radiusM.toFixed(6)))).toEqual([...RINGS_M]);
    expect(trueRings(ROUGH, 'drive', { visibleM: 1e-4, widestM: 0.005 })).toEqual([]);
  });

  it('are read off within the error of the ruler, when nothing is overlooked or imagined', () => {
    const exact = people({
      rings: { widestM: 0.005, missingChance: 0, falsePerRoll: 0, readingErrorM: 0, quantumM: 0.5e-3 },
    });
    const said = ofKind(peopleSay(exact, rollOf(1, ROUGH), 3), 'rings-read');
    expect(said.map(({ end }) => end)).toEqual(['tending', 'drive']);
    expect(said[0]!.radiiM).toHaveLength(2);
    said[0]!.radiiM.forEach((radiusM, i) =>
      expect(Math.abs(radiusM - RINGS_M[i]!)).toBeLessThanOrEqual(0.25e-3 + 1e-9),
    );
    expect(said[1]!.radiiM).toEqual([]);
  });

  it('are overlooked and imagined as often as stated (four standard errors of 1000 rolls)', () => {
    const plan = people({
      rings: { widestM: 0.005, missingChance: 0.2, falsePerRoll: 0.5, readingErrorM: 0 },
    });
    const ends = SEEDS.flatMap((seed) => ofKind(peopleSay(plan, rollOf(1, ROUGH), seed), 'rings-read'));
    const count = (end: string): number =>
      ends.filter((one) => one.end === end).reduce((sum, one) => sum + one.radiiM.length, 0);
    expect(Math.abs(count('drive') - 250)).toBeLessThan(4 * Math.sqrt(250));
    expect(Math.abs(count('tending') - 1600 - 250)).toBeLessThan(4 * Math.sqrt(320 + 250));
    const radii = ends.flatMap((one) => one.radiiM);
    expect(Math.min(...radii)).toBeGreaterThanOrEqual(0.05 - 1e-9);
    expect(Math.max(...radii)).toBeLessThanOrEqual(0.1 + 1e-9);
  });
});

describe('a caliper survey', () => {
  it('reads across one wrap with the stated error, bias and step', () => {
    const plan = people({
      caliperSurvey: { places: 201, readingErrorM: 0.5e-6, biasM: 1e-6, quantumM: 1e-7 },
    });
    const survey = ofKind(peopleSay(plan, rollOf(1, ROUGH), 9), 'caliper-survey')[0]!;
    expect(survey.readings).toHaveLength(201);
    expect([survey.readings[0]!.fromTendingEdgeM, survey.readings[200]!.fromTendingEdgeM]).toEqual([0, 1]);
    const errors = survey.readings.map(({ caliperM }) => caliperM - 51e-6);
    const mean = errors.reduce((a, b) => a + b) / errors.length;
    const rms = Math.sqrt(errors.reduce((sum, one) => sum + one * one, 0) / errors.length);
    expect(Math.abs(mean)).toBeLessThan((4 * 0.5e-6) / Math.sqrt(201));
    expect(Math.abs(rms - 0.5e-6)).toBeLessThan((4 * 0.5e-6) / Math.sqrt(402));
    for (const { caliperM } of survey.readings)
      expect(Math.abs(caliperM / 1e-7 - Math.round(caliperM / 1e-7))).toBeLessThan(1e-6);
  });

  it('shows the lanes of the web under the strip that the slitter cuts for the roll', () => {
    const laned = {
      ...winder,
      line: {
        web: { lanes: [{ fromM: 1.2, toM: 1.4, ratio: 1.02 }] },
        slitter: {
          strips: [
            { station: 'other', widthM: 1 },
            { station: 's', widthM: 0.6 },
          ],
        },
      },
    } as unknown as FinishedRoll['winder'];
    const plan = people({ caliperSurvey: { places: 7, readingErrorM: 0, quantumM: 0 } });
    const survey = ofKind(peopleSay(plan, { ...rollOf(1, ROUGH), winder: laned }, 1), 'caliper-survey')[0]!;
    expect(survey.readings.map(({ fromTendingEdgeM }) => fromTendingEdgeM)).toEqual([
      0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6,
    ]);
    expect(survey.readings.map(({ caliperM }) => Math.round(caliperM * 1e8) / 100)).toEqual([
      50, 50, 51, 51, 51, 50, 50,
    ]);
  });
});

it('the finished diameter is measured again next day, as it then is', () => {
  const plan = people({ remeasured: { readingErrorM: 0, quantumM: 1e-3 } });
  const settled = rollOf(1, ROUGH);
  const roll = { ...settled, roll: { ...settled.roll, remeasuredDiameterM: 0.1983 } };
  const said = ofKind(peopleSay(plan, roll, 1), 'diameter-remeasured')[0]!;
  expect(said).toMatchObject({ atMs: atMs + 86_400_000, diameterM: 0.198 });
});

it('people say the same again for the same seed, in order of time, and only of the rolls they look at', () => {
  const plan = people({ grader: {}, rings: {}, caliperSurvey: { everyRolls: 3 }, remeasured: {} });
  const said = peopleSay(plan, rollOf(2, ROUGH), 4);
  expect(peopleSay(plan, rollOf(2, ROUGH), 4)).toEqual(said);
  expect(said.map((one) => one.atMs)).toEqual([...said.map((one) => one.atMs)].sort((a, b) => a - b));
  expect(ofKind(said, 'caliper-survey')).toEqual([]);
  expect(ofKind(peopleSay(plan, rollOf(3, ROUGH), 4), 'caliper-survey')).toHaveLength(1);
  expect(peopleSay({}, rollOf(2, ROUGH), 4)).toEqual([]);
});

it('rolls are gathered from the truth: every band of its own roll and strip, none of another', () => {
  const strips = [0, 1].map((strip) => ROUGH.slice(0, 2).map((one) => ({ ...one, strip })));
  const truth = [
    { ...ROUGH[0]!, roll: 0, strip: 0 },
    ...strips[0]!,
    ...strips[1]!,
    { ...rollOf(1, []).roll, strip: 1 },
    { ...rollOf(1, []).roll, strip: 0 },
  ];
  let parts = NO_PARTS;
  const rolls: FinishedRoll[] = [];
  for (const one of truth) {
    const gathered = gatherRoll(scenario, parts, one);
    parts = gathered.parts;
    if (gathered.finished !== null) rolls.push(gathered.finished);
  }
  expect(rolls.map(({ roll, bands }) => [roll.strip, bands.map((one) => [one.roll, one.strip])])).toEqual([
    [
      1,
      [
        [1, 1],
        [1, 1],
      ],
    ],
    [
      0,
      [
        [1, 0],
        [1, 0],
      ],
    ],
  ]);
});
