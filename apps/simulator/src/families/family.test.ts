import { describe, expect, it } from 'vitest';
import { readFileSync } from 'node:fs';
import { problemText } from '../scenario/read-scenario.js';
import type { Scenario } from '../scenario/scenario-schema.js';
import { drawScenario, type Family, readFamily } from './draw-scenario.js';
import { drawValues } from './draw-values.js';
import { familyJsonSchema } from './family-json-schema.js';

const SMALL = readFileSync(new URL('../fixtures/small.yaml', import.meta.url), 'utf8');
const OPEN = SMALL.replace('loadNPerM: 300', 'loadNPerM: { uniform: [200, 400] }')
  .replace('widthM: 1.0', 'widthM: { choice: [0.5, 1.0, 1.5], weights: [1, 2, 1] }')
  .replace('tensionNPerM: 100', 'tensionNPerM: { lognormal: { median: 100, spread: 0.1, low: 80 } }');

function family(text: string): Family {
  const reading = readFamily(text);
  if (!reading.ok) throw new Error(reading.problems.map((one) => problemText('family', one)).join('; '));
  return reading.family;
}

function scenario(text: string, seed: number): Scenario {
  const reading = drawScenario(family(text), seed);
  if (!reading.ok) throw new Error(reading.problems.map((one) => problemText('drawn', one)).join('; '));
  return reading.scenario;
}

const station = (text: string, seed: number) => scenario(text, seed).winders[0]!.stations[0]!;
const SEEDS = Array.from({ length: 400 }, (_, i) => i);

describe('a family', () => {
  it('that leaves nothing open draws the same scenario for every seed', () => {
    expect(scenario(SMALL, 1)).toEqual(scenario(SMALL, 2));
  });

  it('draws the same scenario for the same seed, and others for others, within what it states', () => {
    expect(scenario(OPEN, 7)).toEqual(scenario(OPEN, 7));
    const drawn = SEEDS.map((seed) => station(OPEN, seed));
    const loads = drawn.map(({ nip }) => nip!.loadNPerM);
    expect(new Set(loads).size).toBe(SEEDS.length);
    expect(Math.min(...loads)).toBeGreaterThanOrEqual(200);
    expect(Math.max(...loads)).toBeLessThanOrEqual(400);
    // Mean of 400 even draws of 200 to 400: standard error 2.9.
    expect(Math.abs(loads.reduce((a, b) => a + b) / SEEDS.length - 300)).toBeLessThan(4 * 2.9);
    expect(Math.min(...drawn.map(({ tension }) => tension.tensionNPerM))).toBe(80);
    const middle = drawn.filter(({ widthM }) => widthM === 1).length;
    // Half of 400, standard error 10.
    expect(Math.abs(middle - 200)).toBeLessThan(40);
  });

  it('draws each value from a stream of its own: one more open value changes no other', () => {
    const more = OPEN.replace('massKg: 50', 'massKg: { wholeNumber: [40, 60] }');
    const [without, withMore] = [station(OPEN, 3), station(more, 3)];
    expect(withMore.nip!.loadNPerM).toBe(without.nip!.loadNPerM);
    expect(Number.isInteger(withMore.nip!.massKg)).toBe(true);
  });

  it('shares a drawn value by name, with a factor', () => {
    const text = `draws: { load: { logUniform: [200, 400] } }\n${SMALL.replace(
      'loadNPerM: 300',
      'loadNPerM: { drawn: load }',
    ).replace('tensionNPerM: 100', 'tensionNPerM: { drawn: load, times: 0.5 }')}`;
    const drawn = station(text, 11);
    expect(drawn.tension.tensionNPerM).toBeCloseTo(drawn.nip!.loadNPerM / 2, 6);
  });

  it('may choose whole sections with open values inside', () => {
    const text = SMALL.replace(
      '{ wander: { rms: 1e-4, timeS: 10 }, skew: { rms: 3e-4, timeS: 0.5 } }',
      '{ choice: [{}, { spanM: { uniform: [2, 3] } }] }',
    );
    const spans = SEEDS.slice(0, 40).map((seed) => station(text, seed).path.spanM);
    expect(spans).toContain(1);
    expect(spans.some((span) => span >= 2 && span <= 3)).toBe(true);
  });
});

describe('what is wrong with a family is told with line, path and reason', () => {
  const said = (text: string, seed = 1): string | undefined => {
    const reading = readFamily(text);
    const problems = reading.ok ? drawScenario(reading.family, seed) : reading;
    return problems.ok ? undefined : problemText('f.yaml', problems.problems[0]!);
  };
  const lineOf = (mark: string): number => SMALL.slice(0, SMALL.indexOf(mark)).split('\n').length;

  it.each([
    ['widthM: 1.0', 'widthM: { uniform: [2, 1] }', /widthM\.uniform: the lower end first, got 2 before 1$/],
    ['widthM: 1.0', 'widthM: { uniform: [1] }', /widthM\.uniform/],
    ['widthM: 1.0', 'widthM: { unifrom: [1, 2] }', /widthM: a number \(m\) is needed$/],
    ['widthM: 1.0', 'widthM: { uniform: [1, 2], mean: 3 }', /widthM\.mean: unknown key$/],
    ['widthM: 1.0', 'widthM: { drawn: width }', /widthM\.drawn: no "width" under draws$/],
    ['widthM: 1.0', 'widthM: { lognormal: { median: -1, spread: 0.1 } }', /median: above 0, got -1$/],
    ['widthM: 1.0', 'widthM: { choice: [1, 2], weights: [1] }', /weights: one for each choice, 2, got 1$/],
    ['widthM: 1.0', 'widthM: { uniform: [40, 41] }', /widthM: at most 15 m \(seed 1 draws 40\.\d+\)$/],
    [
      'stiffnessNPerM2: 2e6',
      'stiffnessNPerM2: { uniform: [2e9, 3e9] }',
      /timeStepS 0\.001 s is too coarse for a roller.*\(seed 1 draws \d+/,
    ],
    [
      'setEndDiameterM: 0.12',
      'setEndDiameterM: { uniform: [0.05, 0.06] }',
      /must be larger than the core, 0\.1 m \(seed 1 draws 0\.05/,
    ],
  ])('%s as %s', (from, to, text) => {
    const told = said(SMALL.replace(from, to));
    expect(told).toMatch(text);
    expect(told).toMatch(new RegExp(`^f\\.yaml:${lineOf(from)}:`));
  });

  it('also where a choice that was not taken is wrong', () => {
    const text = SMALL.replace('widthM: 1.0', 'widthM: { choice: [1, { uniform: [2, 1] }] }');
    for (const seed of [1, 2, 3, 4])
      expect(said(text, seed)).toMatch(/choice\[1\]\.uniform: the lower end first/);
  });

  it('where draws is no list of names', () => {
    expect(said(`draws: 3\n${SMALL}`)).toBe('f.yaml:1:1: draws: names and distributions');
  });
});

it('normal draws have the mean and the spread that are asked for (four standard errors of 2000 draws)', () => {
  const drawn = Array.from({ length: 2000 }, (_, seed) =>
    Number(drawValues({ normal: { mean: 5, spread: 2 } }, { seed, draws: {}, path: '' })),
  );
  const mean = drawn.reduce((a, b) => a + b) / drawn.length;
  const variance = drawn.reduce((sum, one) => sum + (one - mean) ** 2, 0) / drawn.length;
  expect(Math.abs(mean - 5)).toBeLessThan((4 * 2) / Math.sqrt(2000));
  expect(Math.abs(Math.sqrt(variance) - 2)).toBeLessThan((4 * 2) / Math.sqrt(4000));
});

it('has a JSON Schema beside the scenarios that says what is read (write it anew with --family-schema)', () => {
  const file = JSON.parse(
    readFileSync(new URL('../../scenarios/family.schema.json', import.meta.url), 'utf8'),
  ) as unknown;
  expect(file).toEqual(JSON.parse(JSON.stringify(familyJsonSchema())));
});
