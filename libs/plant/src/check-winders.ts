import { checkNipFigures } from './check-nip-figures.js';
import { unknownId } from './known-id.js';
import type { PlantParts, StationPart, WinderPart } from './plant-parts.js';
import { type Finding, type Path, error, warning } from './problem.js';
import type { Nip } from './nip-schema.js';
import type { Station, Winder } from './winder-schema.js';

/** Machine limits, stations and nips that contradict themselves or one another. */
export function checkWinders(parts: PlantParts): readonly Finding[] {
  return [
    ...parts.winders.flatMap(checkMachine),
    ...parts.stations.flatMap((part) => checkStation(part, parts)),
  ];
}

/** Fastest paper winders run at about 50 m/s (3000 m/min); common practice, no source. */
const fastestWinderMPerS = 50;
/** Widest webs are about 11 m; common practice, no source. */
const widestWebM = 12;

function checkMachine({ path, machine }: WinderPart): readonly Finding[] {
  if (machine === undefined) return [];
  const limits = [...path, 'limits'];
  const findings: Finding[] = [];
  for (const [key, unit] of [
    ['speedMPerS', 'm/s'],
    ['tensionNPerM', 'N/m'],
    ['nipLoadNPerM', 'N/m'],
  ] as const) {
    const range = machine[key];
    if (range !== undefined && range.min >= range.max) {
      findings.push(error([...limits, key, 'min'], `${range.min}`, `less than max, ${range.max} ${unit}`));
    }
  }
  const fastest = machine.speedMPerS.max;
  if (fastest > fastestWinderMPerS) {
    findings.push(
      warning(
        [...limits, 'speedMPerS', 'max'],
        `${fastest}`,
        `m/s, at most ${fastestWinderMPerS} for the fastest winders; ${fastest} m/min would be ${(fastest / 60).toPrecision(3)}`,
      ),
    );
  }
  return findings;
}

function checkStation({ path, station, winder }: StationPart, { grades }: PlantParts): readonly Finding[] {
  if (station === undefined) return [];
  const { machine } = winder;
  const findings = [...unknownId([...path, 'defaultGrade'], station.defaultGrade, grades, 'a grade')];
  const widthM = station.rolls.reduce((sum, roll) => sum + roll.widthM, 0);
  if (widthM > widestWebM) {
    findings.push(
      warning(
        [...path, 'rolls'],
        `${Number(widthM.toPrecision(4))} m in all`,
        `rolls that are ${widestWebM} m wide together at most, in metres`,
      ),
    );
  }
  if (machine !== undefined) findings.push(...checkDiameters(path, station, machine));
  const grade = grades.find(({ id }) => id === station.defaultGrade)?.grade;
  if (machine !== undefined && grade !== undefined) {
    const { setEndDiameterM: setEnd, plannedSpeedMPerS: planned, id } = grade;
    const unfit = (expected: string) => findings.push(error([...path, 'defaultGrade'], id, expected));
    if (setEnd !== undefined && setEnd <= station.coreDiameterM) {
      unfit(
        `a grade whose set ends above the core, ${station.coreDiameterM} m; the set of ${id} ends at ${setEnd} m`,
      );
    }
    if (setEnd !== undefined && setEnd > machine.diameterM.max) {
      unfit(
        `a grade whose set ends within the winder's ${machine.diameterM.max} m; the set of ${id} ends at ${setEnd} m`,
      );
    }
    if (planned !== undefined && planned > machine.speedMPerS.max) {
      unfit(
        `a grade planned within the winder's ${machine.speedMPerS.max} m/s; ${id} is planned at ${planned} m/s`,
      );
    }
  }
  if (station.nip !== null) {
    findings.push(...checkNip([...path, 'nip'], station.nip, machine));
    findings.push(...checkNipFigures([...path, 'nip'], station.nip, { machine, widthM, grade }));
  }
  return findings;
}

function checkDiameters(
  path: Path,
  { coreDiameterM }: Station,
  { diameterM }: Winder['limits'],
): readonly Finding[] {
  return coreDiameterM < diameterM.max
    ? []
    : [
        error(
          [...path, 'coreDiameterM'],
          `${coreDiameterM}`,
          `less than the winder's largest diameter, ${diameterM.max} m`,
        ),
      ];
}

function checkNip(path: Path, nip: Nip, machine: Winder['limits'] | undefined): readonly Finding[] {
  const findings: Finding[] = [];
  const thickness = nip.coverThicknessM;
  if (thickness !== undefined && thickness * 2 >= nip.rollerDiameterM) {
    findings.push(
      error(
        [...path, 'coverThicknessM'],
        `${thickness}`,
        `less than the roller's radius, ${nip.rollerDiameterM / 2} m`,
      ),
    );
  }
  if ((nip.coverModulusPa === undefined) === (nip.coverShoreA === undefined)) {
    const given = nip.coverModulusPa === undefined ? 'neither' : 'both';
    findings.push(error(path, given, 'exactly one of coverModulusPa, coverShoreA'));
  }
  const modulus =
    typeof nip.coverModulusPa === 'object' ? nip.coverModulusPa.value : (nip.coverModulusPa ?? 1e6);
  // Soft rubber 0.5 MPa to hard rubber and composite 5 GPa; aluminium 70 GPa to steel 210 GPa. Common practice, no source.
  const cover = modulus >= 5e5 && modulus <= 5e9;
  const metal = modulus >= 5e10 && modulus <= 2.5e11;
  if (!cover && !metal) {
    findings.push(
      warning(
        [...path, 'coverModulusPa'],
        `${modulus}`,
        'pascal: 0.5e6 to 5e9 Pa for covers, 50e9 to 250e9 Pa for a bare metal roller; 1 MPa is 1e6 Pa',
      ),
    );
  }
  if (machine !== undefined && machine.nipLoadNPerM === undefined) {
    findings.push(
      warning(
        path,
        'a nip',
        "the winder's limits for nipLoadNPerM too: without them no change of nip load can be advised",
      ),
    );
  }
  return findings;
}
