import { describe, expect, it } from 'vitest';
import { type Edit, edited } from './fixtures/small-plant.js';
import { readPlant } from './read-plant.js';

/** All that is found: `severity path: got value, expected ...`. */
function found(...edits: readonly Edit[]): readonly string[] {
  const reading = readPlant(edited(...edits));
  return [...(reading.ok ? [] : reading.problems), ...reading.warnings].map(
    ({ severity, path, value, expected }) => `${severity} ${path}: got ${value}, expected ${expected}`,
  );
}

const nip = 'areas[0].lines[0].winders[0].stations[0].nip';
const afterCover = 'coverThicknessM: 0.012';
const inNip = (text: string): Edit => [afterCover, `${afterCover}\n                  ${text}`];
const afterCaliper = 'caliperM: 60e-6';
const inGrade = (text: string): Edit => [afterCaliper, `${afterCaliper}\n    ${text}`];
const tube = '{ outerDiameterM: 0.1, innerDiameterM: 0.08 }';
const drums = 'drums: { backDrumDiameterM: 0.5, frontDrumDiameterM: 0.5, centreDistanceM: 0.52 }';

describe('figures of a nip that hang together', () => {
  it('are taken: bearings outside the web, a tube inside the roller, drums where the web arrives', () => {
    expect(found(inNip(`bending: { bearingSpanM: 1.4, tube: ${tube} }`))).toEqual([]);
    expect(found(inNip('bending: { bearingSpanM: 1.4, bendingStiffnessNM2: 5e5, crownM: 0.0001 }'))).toEqual(
      [],
    );
    expect(found(inNip('wrapBeforeNipRad: 0.3'))).toEqual([]);
    expect(found(inNip(`loadFrom: { ${drums} }`), ['rollerDiameterM: 0.12', 'rollerDiameterM: 0.5'])).toEqual(
      [],
    );
  });
});

describe('figures of a nip that contradict one another', () => {
  it.each<readonly [string, readonly Edit[], string]>([
    [
      'modulus and hardness of the cover',
      [inNip('coverShoreA: 60')],
      `error ${nip}: got both, expected exactly one of coverModulusPa, coverShoreA`,
    ],
    [
      'neither modulus nor hardness',
      [['                  coverModulusPa: { value: 3e6, uncertaintyRatio: 0.15 }\n', '']],
      `error ${nip}: got neither, expected exactly one of coverModulusPa, coverShoreA`,
    ],
    [
      'a cover thicker than the roller',
      [[afterCover, 'coverThicknessM: 0.07']],
      `error ${nip}.coverThicknessM: got 0.07, expected less than the roller's radius, 0.06 m`,
    ],
    [
      'stiffness and tube',
      [inNip(`bending: { bearingSpanM: 1.4, bendingStiffnessNM2: 5e5, tube: ${tube} }`)],
      `error ${nip}.bending: got both, expected exactly one of bendingStiffnessNM2, tube`,
    ],
    [
      'bearings inside the web',
      [inNip(`bending: { bearingSpanM: 1.0, tube: ${tube} }`)],
      `error ${nip}.bending.bearingSpanM: got 1, expected at least the width of the station's rolls, 1.2 m`,
    ],
    [
      'a tube of no wall',
      [inNip('bending: { bearingSpanM: 1.4, tube: { outerDiameterM: 0.1, innerDiameterM: 0.1 } }')],
      `error ${nip}.bending.tube.innerDiameterM: got 0.1, expected less than outerDiameterM, 0.1 m`,
    ],
    [
      'a tube larger than its roller',
      [inNip('bending: { bearingSpanM: 1.4, tube: { outerDiameterM: 0.2, innerDiameterM: 0.1 } }')],
      `error ${nip}.bending.tube.outerDiameterM: got 0.2, expected at most the roller's diameter, 0.12 m`,
    ],
    [
      'bending without the thickness of the cover',
      [[afterCover, `bending: { bearingSpanM: 1.4, tube: ${tube} }`]],
      `error ${nip}.bending: got no coverThicknessM, expected coverThicknessM beside it: it tells how far the cover follows`,
    ],
    [
      'a piston rod as thick as its cylinder',
      [
        inNip(
          'loadFrom: { cylinders: { boreDiameterM: 0.05, rodDiameterM: 0.05, massPerEndKg: 40, closingAngleRad: 0 } }',
        ),
      ],
      `error ${nip}.loadFrom.cylinders.rodDiameterM: got 0.05, expected less than 0.95 of the bore, 0.0475 m`,
    ],
    [
      'two unlike masses of one end',
      [inNip('loadFrom: { cylinders: { boreDiameterM: 0.05, massPerEndKg: 400, closingAngleRad: 0 } }')],
      `warning ${nip}.loadFrom.cylinders.massPerEndKg: got 400, expected about effectiveMassPerEndKg, 40 kg: both are the mass of roller and arms at one end, reduced to the nip`,
    ],
    [
      'drums that overlap',
      [
        inNip(`loadFrom: { ${drums.replace('0.52', '0.4')} }`),
        ['rollerDiameterM: 0.12', 'rollerDiameterM: 0.5'],
      ],
      `error ${nip}.loadFrom.drums.centreDistanceM: got 0.4, expected 0.5 to 1 m: drums that do not touch, and between which a roll can lie`,
    ],
    [
      'a nip roller that is not the drum',
      [inNip(`loadFrom: { ${drums} }`)],
      `warning ${nip}.rollerDiameterM: got 0.12, expected the diameter of the back drum, 0.5 m, where the web arrives`,
    ],
    [
      'a static force unlike the nip load',
      [inNip('staticForcePerEndN: 20000')],
      `warning ${nip}.staticForcePerEndN: got 20000, expected N, about nip load x width / 2: the winder's limits give 30 to 480 N`,
    ],
  ])('are refused, or warned of, with the reason: %s', (_, edits, expected) => {
    expect(found(...edits)).toEqual([expected]);
  });
});

describe('figures of a web that contradict one another', () => {
  it.each<readonly [string, readonly Edit[], string]>([
    [
      'Rq and PPS of the two faces beside a combined roughness',
      [inGrade('faces: [{ rqM: 0.3e-6 }, { ppsM: 1e-6 }]')],
      'error grades[0].faces: got combinedRoughnessM and faces, expected exactly one of combinedRoughnessM, faces',
    ],
    [
      'Gurley beside permeance',
      [inGrade('gurleyS: 100')],
      'error grades[0].gurleyS: got permeanceMPerPaS and gurleyS, expected exactly one of permeanceMPerPaS, gurleyS, bendtsenMlPerMin',
    ],
    [
      'two profiles',
      [inGrade('profileRangeM: 1e-6\n    rollProfileRangeM: 1e-4')],
      'error grades[0].rollProfileRangeM: got profileRangeM and rollProfileRangeM, expected at most one of profileRangeM, rollProfileRangeM',
    ],
    [
      'a profile larger than the web',
      [inGrade('profileRangeM: 5e-5')],
      'error grades[0].profileRangeM: got 5e-5, expected at most half the caliper, 3e-5 m; it is the range of the caliper of one web, in metres',
    ],
    [
      'a profile of a roll of no diameter',
      [inGrade('rollProfileRangeM: 1e-4'), ['    setEndDiameterM: 0.26\n', '']],
      'error grades[0].rollProfileRangeM: got 0.0001, expected setEndDiameterM beside it: the diameter of the roll on which it was measured',
    ],
    [
      'a lane of no depth',
      [inGrade('thinLaneWidthRatio: 0.2')],
      'warning grades[0].thinLaneWidthRatio: got 0.2, expected profileRangeM or rollProfileRangeM beside it: alone it says nothing',
    ],
    [
      'a profile under a cover of unknown thickness',
      [inGrade('profileRangeM: 1e-6'), [`                  ${afterCover}\n`, '']],
      `warning ${nip}: got no coverThicknessM, expected coverThicknessM too: without it nobody sees whether the nip reaches the thin lanes of clear`,
    ],
  ])('are refused, or warned of, with the reason: %s', (_, edits, expected) => {
    expect(found(...edits)).toContain(expected);
  });

  it('are refused where one face is given by two methods', () => {
    const both = found(['combinedRoughnessM: 0.4e-6', 'faces: [{ rqM: 0.3e-6, ppsM: 1e-6 }]']);
    expect(both).toEqual([expect.stringMatching(/^error grades\[0\]\.faces\[0\].*(rqM|ppsM)/)]);
  });
});

describe('figures of a web and a nip that no machine has', () => {
  it.each<readonly [string, Edit, RegExp]>([
    [
      'width 0',
      ['{ id: a1, widthM: 0.6 }', '{ id: a1, widthM: 0 }'],
      /rolls\[0\]\.widthM: got 0, expected .*0\.002 to 15 m/,
    ],
    [
      'a negative width',
      ['{ id: a1, widthM: 0.6 }', '{ id: a1, widthM: -1 }'],
      /widthM: got -1, expected .*0\.002 to 15 m/,
    ],
    ['caliper 1 m', ['caliperM: 60e-6', 'caliperM: 1'], /caliperM: got 1, expected .*1e-6 to 0\.005 m/],
    ['caliper 0', ['caliperM: 60e-6', 'caliperM: 0'], /caliperM: got 0, expected .*1e-6 to 0\.005 m/],
    ['no caliper', ['    caliperM: 60e-6\n', ''], /caliperM: got .*, expected .*1e-6 to 0\.005 m/],
    ['Shore 120', inNip('coverShoreA: 120'), /coverShoreA: got 120, expected .*10 to 98 Shore A/],
    ['Gurley 0', ['permeanceMPerPaS: 0', 'gurleyS: 0'], /gurleyS: got 0, expected .*0\.01 to 1e6 s/],
    [
      'Bendtsen -3',
      ['permeanceMPerPaS: 0', 'bendtsenMlPerMin: -3'],
      /bendtsenMlPerMin: got -3, expected .*0\.01 to 1e5 mL\/min/,
    ],
    [
      'roughness 0',
      ['combinedRoughnessM: 0.4e-6', 'combinedRoughnessM: 0'],
      /combinedRoughnessM: got 0, expected .*1e-9 to 1e-4 m/,
    ],
    [
      'a roller of 0 m',
      ['rollerDiameterM: 0.12', 'rollerDiameterM: 0'],
      /rollerDiameterM: got 0, expected .*0\.02 to 3 m/,
    ],
    [
      'air of 500 C',
      ['name: Test site }', 'name: Test site, air: { temperatureC: 500 } }'],
      /temperatureC: got 500, expected .*-40 to 100 Cel/,
    ],
    [
      'humidity 60',
      ['name: Test site }', 'name: Test site, air: { relativeHumidityRatio: 60 } }'],
      /relativeHumidityRatio: got 60, expected .*0 to 1/,
    ],
  ])('are refused with field, value, unit and range: %s', (_, edit, expected) => {
    const all = found(edit).filter((line) => line.startsWith('error'));
    expect(
      all.some((line) => expected.test(line)),
      all.join('\n'),
    ).toBe(true);
  });
});
