import { figure } from './figure.js';
import type { GradePart, PlantParts } from './plant-parts.js';
import { type Finding, type Path, error, warning } from './problem.js';
import type { Grade } from './grade-schema.js';

/** Grades that contradict themselves, that no station can wind, or whose web data are unlike any web. */
export function checkGrades(parts: PlantParts): readonly Finding[] {
  return parts.grades.flatMap((part) => {
    if (part.grade === undefined) return [];
    return [
      ...checkCalibration(part.path, part.grade),
      ...checkOnce(part.path, part.grade),
      ...checkProfile(part.path, part.grade),
      ...checkWebData(part.path, part.grade),
      ...checkSomewhere(part, part.grade, parts),
    ];
  });
}

/** Roughness and permeance must each be told, and by one figure only: two would contradict each other sooner or later. */
function checkOnce(path: Path, grade: Grade): readonly Finding[] {
  return [
    ...exactlyOne(path, grade, ['combinedRoughnessM', 'faces']),
    ...exactlyOne(path, grade, ['permeanceMPerPaS', 'gurleyS', 'bendtsenMlPerMin']),
  ];
}

/** The profile is told once, and within what a web can have. */
function checkProfile(path: Path, grade: Grade): readonly Finding[] {
  const { caliperM, profileRangeM, rollProfileRangeM, setEndDiameterM, thinLaneWidthRatio } = grade;
  const findings: Finding[] = [];
  if (profileRangeM !== undefined && rollProfileRangeM !== undefined)
    findings.push(
      error(
        [...path, 'rollProfileRangeM'],
        'profileRangeM and rollProfileRangeM',
        'at most one of profileRangeM, rollProfileRangeM',
      ),
    );
  if (profileRangeM !== undefined && profileRangeM > caliperM / 2)
    findings.push(
      error(
        [...path, 'profileRangeM'],
        figure(profileRangeM),
        `at most half the caliper, ${figure(caliperM / 2)} m; it is the range of the caliper of one web, in metres`,
      ),
    );
  if (rollProfileRangeM !== undefined && setEndDiameterM === undefined)
    findings.push(
      error(
        [...path, 'rollProfileRangeM'],
        `${rollProfileRangeM}`,
        'setEndDiameterM beside it: the diameter of the roll on which it was measured',
      ),
    );
  if (
    rollProfileRangeM !== undefined &&
    setEndDiameterM !== undefined &&
    rollProfileRangeM > setEndDiameterM / 8
  )
    findings.push(
      error(
        [...path, 'rollProfileRangeM'],
        `${rollProfileRangeM}`,
        `at most an eighth of the diameter, ${figure(setEndDiameterM / 8)} m`,
      ),
    );
  if (thinLaneWidthRatio !== undefined && profileRangeM === undefined && rollProfileRangeM === undefined)
    findings.push(
      warning(
        [...path, 'thinLaneWidthRatio'],
        `${thinLaneWidthRatio}`,
        'profileRangeM or rollProfileRangeM beside it: alone it says nothing',
      ),
    );
  return findings;
}

function exactlyOne(path: Path, grade: Grade, keys: readonly (keyof Grade)[]): readonly Finding[] {
  const given = keys.filter((key) => grade[key] !== undefined);
  if (given.length === 1) return [];
  const expected = `exactly one of ${keys.join(', ')}`;
  const [, second] = given;
  return [
    second === undefined
      ? error(path, 'none of them', expected)
      : error([...path, second], given.join(' and '), expected),
  ];
}

/** Rated rolls below which a calibration says little (own judgement: a mean of 10 has a third of the spread of one). */
const fewRatedRolls = 10;

function checkCalibration(path: Path, { activated, boundaryFactor, calibration }: Grade): readonly Finding[] {
  const findings: Finding[] = [];
  if (calibration === undefined && activated) {
    findings.push(
      error(
        [...path, 'activated'],
        'true',
        'a calibration beside it: people are called only for a boundary that rated rolls confirmed',
      ),
    );
  }
  if (calibration === undefined && boundaryFactor !== 1) {
    findings.push(
      error(
        [...path, 'boundaryFactor'],
        `${boundaryFactor}`,
        'a calibration beside it, or 1: only rated rolls can move the boundary',
      ),
    );
  }
  if (calibration !== undefined && activated && calibration.ratedRolls < fewRatedRolls) {
    findings.push(
      warning(
        [...path, 'calibration', 'ratedRolls'],
        `${calibration.ratedRolls}`,
        `${fewRatedRolls} rated rolls or more before people are called`,
      ),
    );
  }
  return findings;
}

/**
 * Bounds outside which web data are probably mistyped: common practice, no source. Roughness is a few thousandths (plastic film) to a third
 * (tissue) of the caliper; papers and foils above 1.2 um rms combined let air through unless they are foil; density runs from
 * tissue (about 100 kg/m3) to copper foil (8960 kg/m3).
 */
function checkWebData(path: Path, grade: Grade): readonly Finding[] {
  // What is told by a converted figure is checked by the range of its method.
  if (grade.combinedRoughnessM === undefined || grade.permeanceMPerPaS === undefined) return [];
  const roughnessM = typical(grade.combinedRoughnessM);
  const permeance = typical(grade.permeanceMPerPaS);
  const share = roughnessM / grade.caliperM;
  const findings: Finding[] = [];
  const suspect = (key: string, value: number, expected: string) =>
    findings.push(warning([...path, key], figure(value), expected));

  if (share > 1 / 3) {
    suspect(
      'combinedRoughnessM',
      roughnessM,
      `an rms roughness in metres below a third of the caliper (${figure(grade.caliperM / 3)} m)`,
    );
  } else if (share < 5e-5 || roughnessM < 10e-9) {
    suspect(
      'combinedRoughnessM',
      roughnessM,
      `an rms roughness in metres of at least ${figure(Math.max(10e-9, grade.caliperM * 5e-5))} m; nanometres typed twice over?`,
    );
  }
  if (permeance === 0 && roughnessM > 1.2e-6) {
    suspect(
      'permeanceMPerPaS',
      0,
      'the permeance of a web this rough: paper lets air through; 0 is for film and foil',
    );
  }
  if (permeance > 0 && roughnessM < 0.3e-6) {
    suspect('permeanceMPerPaS', permeance, 'about 0 for a web this smooth: film and foil let no air through');
  }
  if (permeance > 0.02) {
    suspect(
      'permeanceMPerPaS',
      permeance,
      'm/(Pa s) up to 0.02, the most open tissue; 1 um/(Pa s) is 1e-6 m/(Pa s)',
    );
  }
  if (grade.grammageKgPerM2 !== undefined) {
    const density = grade.grammageKgPerM2 / grade.caliperM;
    if (density < 50 || density > 9000) {
      suspect(
        'grammageKgPerM2',
        grade.grammageKgPerM2,
        `a mass per area that gives 50 to 9000 kg/m3 with the caliper; this gives ${figure(density)} kg/m3`,
      );
    }
  }
  return findings;
}

/** A set end or planned speed that no winder of the site reaches. Grades that some station assumes are checked with that station. */
function checkSomewhere(
  { path, id }: GradePart,
  grade: Grade,
  { stations, winders }: PlantParts,
): readonly Finding[] {
  const machines = winders.flatMap(({ machine }) => machine ?? []);
  const assumed = stations.some(({ station }) => station === undefined || station.defaultGrade === id);
  if (assumed || machines.length < winders.length || winders.length === 0) return [];
  const findings: Finding[] = [];
  const largest = Math.max(...machines.map(({ diameterM }) => diameterM.max));
  const fastest = Math.max(...machines.map(({ speedMPerS }) => speedMPerS.max));
  const { setEndDiameterM: setEnd, plannedSpeedMPerS: planned } = grade;
  if (setEnd !== undefined && setEnd > largest) {
    findings.push(
      error(
        [...path, 'setEndDiameterM'],
        `${setEnd}`,
        `at most ${largest} m, the largest diameter of any winder here`,
      ),
    );
  }
  const cores = stations.flatMap(({ station }) => station?.coreDiameterM ?? []);
  const smallest = Math.min(...cores);
  if (setEnd !== undefined && setEnd <= smallest) {
    findings.push(
      error([...path, 'setEndDiameterM'], `${setEnd}`, `more than ${smallest} m, the smallest core here`),
    );
  }
  if (planned !== undefined && planned > fastest) {
    findings.push(
      error(
        [...path, 'plannedSpeedMPerS'],
        `${planned}`,
        `at most ${fastest} m/s, the highest speed of any winder here`,
      ),
    );
  }
  return findings;
}

const typical = (given: number | { readonly value: number }): number =>
  typeof given === 'number' ? given : given.value;
