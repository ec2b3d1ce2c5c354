import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { drawScenario, readFamily } from '../families/draw-scenario.js';
import { scenarioJsonSchema } from './json-schema.js';
import { problemText, readScenario } from './read-scenario.js';

const SMALL = readFileSync(new URL('../fixtures/small.yaml', import.meta.url), 'utf8');
const FOLDER = fileURLToPath(new URL('../../scenarios/', import.meta.url));

/** The first problem of the small scenario after a change in its text, and where `mark` stands in that text. */
function problemAfter(
  from: string,
  to: string,
  mark: string,
): { readonly said: string | undefined; readonly where: string } {
  expect(SMALL).toContain(from);
  const text = SMALL.replace(from, to);
  const reading = readScenario(text);
  const said = reading.ok
    ? undefined
    : reading.problems.map((problem) => problemText('small.yaml', problem))[0];
  expect(text.split(mark)).toHaveLength(2);
  const before = text.slice(0, text.indexOf(mark)).split('\n');
  return { said, where: `small.yaml:${before.length}:${(before[before.length - 1] as string).length + 1}: ` };
}

describe('a scenario', () => {
  it('that is right is read, with what it leaves out filled in', () => {
    const reading = readScenario(SMALL);
    expect(reading.ok && reading.scenario.samplePeriodS).toBe(0.2);
    expect(reading.ok && reading.scenario.winders[0]?.stations[0]?.nip?.taperRatio).toBe(1);
  });

  const STATION = 'winders[0].stations[0]';

  it.each([
    [
      'an unknown key',
      'massKg: 50',
      'massKg: 50\n          weightKg: 50',
      'weightKg',
      `${STATION}.nip.weightKg: unknown key`,
    ],
    [
      'a number out of range',
      'dampingRatio: 0.05',
      'dampingRatio: 5',
      'dampingRatio',
      `${STATION}.nip.dampingRatio: at most 1 1`,
    ],
    [
      'text for a number',
      'widthM: 1.0',
      'widthM: wide',
      'widthM',
      `${STATION}.widthM: a number (m) is needed`,
    ],
    [
      'a missing key',
      '    friction: 0.4\n',
      '',
      'film:\n    name',
      'grades.film.friction: a number (1) is needed',
    ],
    ['a key given twice', 'name: Small', 'name: Small\nname: Big', 'name: Big', 'Map keys must be unique'],
    [
      'a set end below the core',
      'setEndDiameterM: 0.12',
      'setEndDiameterM: 0.09',
      'setEndDiameterM',
      `${STATION}.setEndDiameterM: must be larger than the core, 0.1 m`,
    ],
    [
      'a grade that is not there',
      'grade: film',
      'grade: foil',
      'grade: foil',
      `${STATION}.grade: no grade "foil" under grades`,
    ],
    [
      'an action outside the roll',
      'diameterM: 0.115',
      'diameterM: 0.2',
      'diameterM: 0.2 ',
      `${STATION}.operator[0].at.diameterM: must lie from 0.1 m to below 0.12 m`,
    ],
    [
      'a time step too coarse for the roller',
      'stiffnessNPerM2: 2e6',
      'stiffnessNPerM2: 2e9',
      'stiffnessNPerM2',
      `${STATION}.nip.stiffnessNPerM2: timeStepS 0.001 s is too coarse for a roller that swings in 0.000993 s: at most 0.0000497 s`,
    ],
    [
      'a time step too coarse for an excitation',
      'order: 1,',
      'order: 9,',
      '{ order: 9',
      `${STATION}.nip.excitation[0]: timeStepS 0.001 s is too coarse for 143 Hz: at most 0.000581 s`,
    ],
    [
      'a load that would flatten the cover',
      'loadNPerM: 300',
      'loadNPerM: 60000',
      'loadNPerM',
      `${STATION}.nip.loadNPerM: presses 30.0 mm into the cover, over a tenth of the roller's diameter`,
    ],
    [
      'a period that holds no whole number of steps',
      'name: Small',
      'name: Small\ntimeStepS: 0.0003',
      'timeStepS',
      'timeStepS: samplePeriodS must hold a whole number of time steps, not 666.6666666666667',
    ],
    [
      'a topic that all stations would share',
      'name: Small',
      'name: Small\ntopics: { drive: a/b }',
      'drive: a/b',
      'topics.drive: {winder} is missing: several sources would share one topic',
    ],
    [
      'an unknown key in a choice of shapes',
      'amplitudeM: 50e-6 }',
      'amplitudeM: 50e-6, phase: 3 }',
      'phase: 3',
      `${STATION}.nip.excitation[0].phase: unknown key`,
    ],
  ])('with %s is refused with line, column, path and reason', (_, from, to, mark, expected) => {
    const { said, where } = problemAfter(from, to, mark);
    expect(said).toBe(`${where}${expected}`);
  });

  const SLITTER = readFileSync(new URL('../fixtures/slitter.yaml', import.meta.url), 'utf8');

  it.each([
    ['a station without strips as wide as it is', 'widthM: 0.4 }', 'widthM: 0.3 }', 'stations[1].widthM'],
    [
      'a strip for a station that is not there',
      '{ station: b,',
      '{ station: c,',
      'line.slitter.strips[1].station',
    ],
    [
      'a knife too many',
      'bottomDiameterM: 0.08',
      'knives: [{ number: 4 }]\n        bottomDiameterM: 0.08',
      'line.slitter.knives[0].number',
    ],
    [
      'a programme of its own beside the line',
      'nip: null',
      'nip: null\n        programme: { threadSpeedMPerS: 1, threadS: 1, runSpeedMPerS: 5, accelerationMPerS2: 2, setChangeS: 6 }',
      'stations[0].programme',
    ],
    [
      'an unwinding roll smaller than its core',
      '      slitter:',
      '      unwind: { diameterM: 0.3, coreDiameterM: 0.4 }\n      slitter:',
      'line.unwind',
    ],
    [
      'a recipe that goes back',
      '{ tensionNPerM: 200 }',
      '{ tensionNPerM: 200, recipe: [{ diameterM: 0.3, tensionNPerM: 9 }, { diameterM: 0.2, tensionNPerM: 9 }] }',
      'stations[0].tension.recipe[1].diameterM',
    ],
    [
      'a grade that is not there',
      'nip: null',
      'nip: null\n        gradeChanges: [{ at: { atS: 1 }, grade: silk }]',
      'stations[0].gradeChanges[0].grade',
    ],
  ])('with a line and %s is refused', (_, from, to, path) => {
    expect(SLITTER).toContain(from);
    expect(readScenario(SLITTER).ok).toBe(true);
    const reading = readScenario(SLITTER.replace(from, to));
    const said = reading.ok ? [] : reading.problems.map((problem) => problem.path);
    expect(
      said.some((one) => one.startsWith(`winders[0].${path}`)),
      said.join(' '),
    ).toBe(true);
  });

  it('without a programme anywhere is refused', () => {
    const reading = readScenario(SMALL.replace(/ {8}programme: .*\n/, ''));
    expect(reading.ok ? '' : reading.problems[0]?.path).toBe('winders[0].stations[0].programme');
  });

  it('with two stations of one name is refused', () => {
    const station = SMALL.slice(SMALL.indexOf('      - id: s'));
    const reading = readScenario(`${SMALL}${station}`);
    expect(reading.ok).toBe(false);
    expect(!reading.ok && reading.problems[0]?.text).toBe('"s" is there already');
  });

  it('that is no YAML at all is refused at its line, and an empty one at its first', () => {
    const broken = readScenario('scenarioVersion: 1\nname: [');
    expect(!broken.ok && broken.problems[0]?.line).toBe(2);
    const empty = readScenario('');
    expect(!empty.ok && empty.problems[0]?.line).toBe(1);
  });
});

describe('the scenarios that come with the simulator', () => {
  const names = readdirSync(FOLDER).filter((name) => name.endsWith('.yaml'));

  it.each(names)('%s is right, whatever the seed draws', (name) => {
    const family = readFamily(readFileSync(`${FOLDER}${name}`, 'utf8'));
    expect(family.ok ? [] : family.problems).toEqual([]);
    if (!family.ok) return;
    for (let seed = 1; seed <= 20; seed += 1) {
      const reading = drawScenario(family.family, seed);
      expect(reading.ok ? [] : reading.problems).toEqual([]);
    }
  });

  it('have a JSON Schema beside them that says what is read (write it anew with --schema)', () => {
    const file = JSON.parse(readFileSync(`${FOLDER}scenario.schema.json`, 'utf8')) as unknown;
    expect(file).toEqual(JSON.parse(JSON.stringify(scenarioJsonSchema())));
  });
});
