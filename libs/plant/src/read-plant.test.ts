import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { edited, placed, smallPlant as small } from './fixtures/small-plant.js';
import type { PlantProblem } from './problem.js';
import { readPlant } from './read-plant.js';

const findings = (text: string): readonly PlantProblem[] => {
  const reading = readPlant(text);
  return [...(reading.ok ? [] : reading.problems), ...reading.warnings];
};
const errors = (text: string) => findings(text).filter(({ severity }) => severity === 'error');
const line = ({ line: at, column, severity, path, value, expected }: PlantProblem) =>
  `${at}:${column} ${severity} ${path}: got ${value}, expected ${expected}`;

const station = 'areas[0].lines[0].winders[0].stations[0]';
const winder = 'areas[0].lines[0].winders[0]';

describe('a plant file without faults', () => {
  it('is read with its defaults filled in and no warnings', () => {
    const reading = readPlant(small);
    expect(reading.warnings).toEqual([]);
    expect(reading).toMatchObject({
      ok: true,
      plant: {
        display: 'metric',
        grades: [{ floatingWrapsAllowed: 3, boundaryFactor: 1 }],
        limits: {
          edgeRisk: { reached: 0.5, responseS: 30 },
          nipBounce: { swingRatio: 0.3 },
          stale: { afterPeriods: 5 },
        },
        sources: [{ payload: 'json' }, { payload: 'json' }, { payload: 'plain', time: 'arrival' }],
      },
    });
  });

  it('may use anchors for blocks that repeat, line ends of either kind and a byte order mark', () => {
    const anchored = edited(
      ['nip:\n', 'nip: &nip\n'],
      ['nip: null', 'nip: *nip'],
      ['t/w1/a/nip/{end}\n    winder: w1\n    station: a', 't/w1/{station}/nip/{end}\n    winder: w1'],
    );
    for (const text of [anchored, anchored.replaceAll('\n', '\r\n'), `\ufeff${anchored}`]) {
      const reading = readPlant(text);
      expect(reading.ok && reading.plant.areas[0]?.lines[0]?.winders[0]?.stations[1]?.nip?.kind).toBe(
        'lay-on roller',
      );
    }
  });
});

describe('what departs from the schema', () => {
  it.each([
    [
      'a missing key, at its parent',
      'id: clear\n    name: Clear film\n    caliperM: 60e-6\n',
      '¶id: clear\n    name: Clear film\n',
      'grades[0].caliperM: got nothing, expected a number: Caliper of one web (1e-6 to 0.005 m)',
    ],
    [
      'an unknown key, at the key, with the nearest known',
      'coverThicknessM: 0.012',
      '¶coverThicknesM: 0.012',
      `${station}.nip.coverThicknesM: got the key "coverThicknesM", expected a known key; the nearest is coverThicknessM`,
    ],
    [
      'an unknown key near to nothing',
      'caliperM: 60e-6',
      'caliperM: 60e-6\n    ¶colour: red',
      'grades[0].colour: got the key "colour", expected one of the keys id, name, caliperM, caliperUncertaintyRatio, combinedRoughnessM, faces, profileRangeM, rollProfileRangeM, thinLaneWidthRatio, permeanceMPerPaS, gurleyS, bendtsenMlPerMin, grammageKgPerM2, modulusPa, frictionRatio, setEndDiameterM, plannedSpeedMPerS, floatingWrapsAllowed, boundaryFactor, calibration, activated',
    ],
    [
      'text for a number',
      'caliperM: 60e-6',
      'caliperM: ¶60 um',
      'grades[0].caliperM: got "60 um", expected a number: Caliper of one web (1e-6 to 0.005 m)',
    ],
    [
      'micrometres for metres',
      'combinedRoughnessM: 0.4e-6',
      'combinedRoughnessM: ¶0.4',
      'grades[0].combinedRoughnessM: got 0.4, expected a number: Combined rms roughness of the two faces that meet in the roll, sqrt(Rq1^2 + Rq2^2) (1e-9 to 1e-4 m), or a map with value, uncertaintyRatio; 0.4 um would be 4e-7, 0.4 [mil_i] would be 1.016e-5',
    ],
    [
      'megapascals for pascals inside a value with uncertainty',
      'value: 3e6',
      'value: ¶3',
      `${station}.nip.coverModulusPa.value: got 3, expected a number: Young's modulus of the cover (1e5 to 3e11 Pa); 3 MPa would be 3e6, 3 GPa would be 3e9`,
    ],
    [
      'm/min for m/s',
      'speedMPerS: { min: 0, max: 12 }',
      'speedMPerS: { min: 0, max: ¶720 }',
      `${winder}.limits.speedMPerS.max: got 720, expected a number: Highest speed (0.01 to 70 m/s); 720 m/min would be 12, 720 [ft_i]/min would be 3.658`,
    ],
    [
      'a missing part of a value with uncertainty',
      '{ value: 3e6, uncertaintyRatio: 0.15',
      '¶{ value: 3e6',
      `${station}.nip.coverModulusPa.uncertaintyRatio: got nothing, expected a number: Relative standard uncertainty (0 to 2)`,
    ],
    [
      'a signal that does not exist',
      'signal: speed',
      'signal: ¶sped',
      'sources[0].signals[0].signal: got "sped", expected one of speed, diameter, tension, nipLoad, nipLoadSwing, nipAcceleration, cylinderPressure, riderLoad, coreRotation, woundLength, winding, setEndDiameter, airTemperature, airPressure, airHumidity, grade; the nearest is speed',
    ],
    [
      'an id in capitals',
      'id: w1',
      'id: ¶W1',
      `${winder}.id: got "W1", expected an id of 1 to 32 lower-case letters, digits and inner hyphens`,
    ],
    [
      'a mistyped word where a map may stand too',
      'time: { pointer: /t, format: epoch-ms }',
      'time: ¶arival',
      'sources[0].time: got "arival", expected a map with pointer, format: Where the time of the measurement stands, or arrival: The message carries no time: the time of arrival is taken, and marked so; the nearest is arrival',
    ],
    [
      'a factor of 0',
      'unit: m/min',
      'unit: m/min, factor: ¶0',
      'sources[0].signals[0].factor: got 0, expected a factor other than 0',
    ],
    [
      'a pointer that is none',
      'pointer: /speed',
      'pointer: ¶speed',
      'sources[0].signals[0].pointer: got "speed", expected a JSON pointer (RFC 6901), e.g. /speed/value',
    ],
    [
      'not a number',
      'widthM: 1.2',
      'widthM: ¶.nan',
      `areas[0].lines[0].winders[0].stations[1].rolls[0].widthM: got NaN, expected a number: Width of this roll (0.002 to 15 m)`,
    ],
    [
      'a date that is none',
      'approvedOn: 2026-11-02',
      'approvedOn: ¶2026-13-02',
      'grades[0].calibration.approvedOn: got "2026-13-02", expected a date such as 2026-11-02',
    ],
    [
      'half a rated roll',
      'ratedRolls: 24',
      'ratedRolls: ¶24.5',
      'grades[0].calibration.ratedRolls: got 24.5, expected a whole number from 1: Rolls of this grade whose edges were rated',
    ],
    [
      'a list that is empty',
      '\n                  - { id: b1, widthM: 1.2 }',
      ' ¶[]',
      `areas[0].lines[0].winders[0].stations[1].rolls: got a list of 0, expected a list with at least one entry: The rolls that lie side by side at this station, tending side first`,
    ],
    [
      'a later version of the file',
      'plantFileVersion: 1',
      'plantFileVersion: ¶2',
      'plantFileVersion: got 2, expected 1',
    ],
  ])('is told for %s', (_, from, to, expected) => {
    const { text, place } = placed(edited([from, to]));
    expect(errors(text).map(line)).toEqual([`${place} error ${expected}`]);
  });

  it('does not hide what is wrong elsewhere', () => {
    const text = edited(
      ['caliperM: 60e-6', 'caliperm: 60e-6'],
      ['unit: kN/m', 'unit: kN'],
      ['defaultGrade: clear\n              - id: b', 'defaultGrade: cler\n              - id: b'],
    );
    expect(findings(text).map(({ path }) => path)).toEqual([
      `${station}.defaultGrade`,
      'grades[0].caliperM',
      'grades[0].caliperm',
      'sources[1].signals[0].unit',
    ]);
  });
});

describe('what is no YAML', () => {
  it.each([
    [
      'an empty file',
      '',
      '1:1 : got nothing, expected a map with plantFileVersion, site, display, areas, grades, sources, limits',
    ],
    [
      'a comment only',
      '# nothing\n',
      '1:1 : got nothing, expected a map with plantFileVersion, site, display, areas, grades, sources, limits',
    ],
    [
      'bare text',
      'hello',
      '1:1 : got "hello", expected a map with plantFileVersion, site, display, areas, grades, sources, limits',
    ],
    [
      'a tab as indentation',
      'a:\n\tb: 1\n',
      '2:1 : got "b: 1", expected spaces for indentation instead of tabs',
    ],
    [
      'a bracket left open',
      'a: [1, 2\nb: 3\n',
      '2:1 : got "b: 3", expected valid YAML: Flow sequence in block collection must be sufficiently indented and end with a ]',
    ],
    ['two documents', 'a: 1\n---\nb: 2\n', '2:1 : got "---", expected one document in the file'],
    ['a list as a key', '[a]: 1\n', '1:1 : got "[a]: 1", expected plain words as keys'],
    ['a tag', 'a: !mine 1\n', '1:4 : got "a: !mine 1", expected no tag (!...)'],
    ['an older YAML', '%YAML 1.1\n---\na: 1\n', '1:1 : got YAML 1.1, expected YAML 1.2'],
    [
      'a reference to nothing',
      'a:\n  b: *x\n',
      '2:6 a.b: got *x, expected a reference to something marked &x above',
    ],
    [
      'a file of 1 MB',
      `a: ${'x'.repeat(1_048_573)}`,
      '1:1 : got 1048576 characters, expected a plant file of at most 500000 characters',
    ],
    ['20 000 brackets', '['.repeat(20_000), '1:61 : got more nesting, expected at most 60 levels of nesting'],
    [
      '20 000 dashes',
      `${'- '.repeat(20_000)}a`,
      '1:121 : got more nesting, expected at most 60 levels of nesting',
    ],
  ])('is told for %s', (_, text, expected) => {
    const reading = readPlant(text);
    const problems = reading.ok ? [] : reading.problems;
    expect(problems.map((problem) => line(problem).replace(' error ', ' '))).toEqual([expected]);
  });

  it('is told for references that explode', () => {
    const levels = Array.from(
      'bcdefghi',
      (key, i) => `${key}: &${key} [${Array(9).fill(`*${'abcdefgh'[i]}`).join(', ')}]`,
    );
    const [problem, ...others] = findings(['a: &a [x, x, x, x, x, x, x, x, x]', ...levels].join('\n'));
    expect(others).toEqual([]);
    expect(problem).toMatchObject({ severity: 'error', line: 1, column: 1 });
    expect(problem?.expected).toMatch(/alias count/);
  });

  it('is told for more references than a plant needs', () => {
    const text = Array.from({ length: 1001 }, (_, i) => `a${i}: &a${i} v\nb${i}: *a${i}`).join('\n');
    expect(findings(text).map(({ expected }) => expected)).toEqual(['at most 1000 references (*name)']);
  });

  it('is told for a reference to what contains it, without end', () => {
    expect(findings('&a\nsite: *a\nareas: [*a]\n').map(({ path }) => path)).toContain('areas[0].site');
  });
});

describe('a key that stands twice', () => {
  it('is told where it stands again, and the last one is checked', () => {
    const twice = '    caliperM: 60e-6\n    name: Again\n';
    const { text, place } = placed(edited(['    caliperM: 60e-6\n', twice.replace('name', '¶name')]));
    expect(findings(text).map(line)).toEqual([
      `${place} error grades[0].name: got name again, expected each key once in a map`,
    ]);
    const last = placed(edited(['    caliperM: 60e-6\n', '    caliperM: 60e-6\n    caliperM: ¶60\n']));
    const [again, value] = findings(last.text).map(line);
    expect(again).toContain('got caliperM again');
    expect(value).toMatch(`${last.place} error grades[0].caliperM: got 60, `);
  });

  it('is found in a file of 60 000 equal keys', () => {
    expect(findings('k: 1\n'.repeat(60_000)).filter(({ value }) => value === 'k again')).toHaveLength(59_999);
  }, 30_000);
});

// Each run reads a whole file (20 ms on an idle machine), hence the longer time limits.
describe('any text', () => {
  const isInside =
    (text: string) =>
    ({ line: at, column }: PlantProblem) => {
      const lines = text.split('\n');
      return at >= 1 && at <= lines.length && column >= 1 && column <= (lines[at - 1]?.length ?? 0) + 1;
    };

  it('gives a plant or problems with a place inside the text, and never throws', () => {
    const piece = fc.constantFrom(
      '{',
      '}',
      '[',
      ']',
      ':',
      '- ',
      '\n',
      '  ',
      '\t',
      '&a ',
      '*a',
      '#',
      '"',
      "'",
      '|',
      '>',
      '!',
      '%',
      '? ',
      '<<: ',
      'null',
      '1e999',
      '-1',
      '0x',
      '.inf',
      '__proto__: ',
      '\0',
      '\u{1f600}',
      'é',
      '',
    );
    fc.assert(
      fc.property(
        fc.nat(small.length),
        fc.nat(40),
        fc.array(piece, { maxLength: 4 }),
        (start, cut, pieces) => {
          const text = small.slice(0, start) + pieces.join('') + small.slice(start + cut);
          for (const finding of findings(text))
            expect([text, finding, isInside(text)(finding)]).toEqual([text, finding, true]);
        },
      ),
      { numRuns: 60 },
    );
  }, 30_000);

  it('is never echoed with control characters, which a terminal would obey', () => {
    const escape = 't/\u001b[2J\u009b2J{x}';
    const text = edited(
      ['topic: t/w1/a/set-end', `topic: ${JSON.stringify(escape)}`],
      ['site: {', `site: { "\\e[2J": 1,`],
    );
    const told = findings(text).map(line).join('\n');
    expect(told).toContain('\\u001b[2J');
    expect(told).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f]/);
  });

  it('is answered the same way if it is noise', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 200 }), (text) => {
        const reading = readPlant(text);
        expect(reading.ok).toBe(false);
      }),
    );
  }, 30_000);
});
