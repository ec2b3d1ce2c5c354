import { figure } from './figure.js';
import type { Grade } from './grade-schema.js';
import type { Nip } from './nip-schema.js';
import { type Finding, type Path, error, warning } from './problem.js';
import type { Winder } from './winder-schema.js';

/** What the figures of a nip are held against. */
export interface NipSurroundings {
  readonly machine: Winder['limits'] | undefined;
  /** Width of all rolls of the station, m. */
  readonly widthM: number;
  /** The station's usual grade. */
  readonly grade: Grade | undefined;
}

/** Figures of a nip that contradict one another, or that lack what they are of no use without. */
export function checkNipFigures(path: Path, nip: Nip, around: NipSurroundings): readonly Finding[] {
  return [
    ...checkBending(path, nip, around.widthM),
    ...checkCoverForProfile(path, nip, around.grade),
    ...checkCylinders(path, nip),
    ...checkDrums(path, nip),
    ...checkStaticForce(path, nip, around),
  ];
}

function checkBending(
  path: Path,
  { bending, coverThicknessM, rollerDiameterM }: Nip,
  widthM: number,
): readonly Finding[] {
  if (bending === undefined) return [];
  const at = [...path, 'bending'];
  const findings: Finding[] = [];
  const { bearingSpanM, bendingStiffnessNM2, tube } = bending;
  if ((bendingStiffnessNM2 === undefined) === (tube === undefined)) {
    const given = tube === undefined ? 'neither' : 'both';
    findings.push(error(at, given, 'exactly one of bendingStiffnessNM2, tube'));
  }
  if (bearingSpanM < widthM)
    findings.push(
      error(
        [...at, 'bearingSpanM'],
        `${bearingSpanM}`,
        `at least the width of the station's rolls, ${figure(widthM)} m`,
      ),
    );
  if (tube !== undefined && tube.innerDiameterM >= tube.outerDiameterM)
    findings.push(
      error(
        [...at, 'tube', 'innerDiameterM'],
        `${tube.innerDiameterM}`,
        `less than outerDiameterM, ${tube.outerDiameterM} m`,
      ),
    );
  if (tube !== undefined && tube.outerDiameterM > rollerDiameterM)
    findings.push(
      error(
        [...at, 'tube', 'outerDiameterM'],
        `${tube.outerDiameterM}`,
        `at most the roller's diameter, ${rollerDiameterM} m`,
      ),
    );
  if (coverThicknessM === undefined)
    findings.push(
      error(at, 'no coverThicknessM', 'coverThicknessM beside it: it tells how far the cover follows'),
    );
  return findings;
}

function checkCoverForProfile(
  path: Path,
  { coverThicknessM }: Nip,
  grade: Grade | undefined,
): readonly Finding[] {
  const told = grade?.profileRangeM ?? grade?.rollProfileRangeM;
  return told === undefined || coverThicknessM !== undefined
    ? []
    : [
        warning(
          path,
          'no coverThicknessM',
          `coverThicknessM too: without it nobody sees whether the nip reaches the thin lanes of ${grade?.id ?? ''}`,
        ),
      ];
}

function checkCylinders(path: Path, { effectiveMassPerEndKg, loadFrom }: Nip): readonly Finding[] {
  if (loadFrom === undefined || !('cylinders' in loadFrom)) return [];
  const { boreDiameterM, massPerEndKg, rodDiameterM } = loadFrom.cylinders;
  const at = [...path, 'loadFrom', 'cylinders'];
  const findings: Finding[] = [];
  if (rodDiameterM > 0.95 * boreDiameterM)
    findings.push(
      error(
        [...at, 'rodDiameterM'],
        `${rodDiameterM}`,
        `less than 0.95 of the bore, ${figure(0.95 * boreDiameterM)} m`,
      ),
    );
  // Both are the mass of roller and arms felt at the nip; half or twice is no rounding (own judgement).
  if (effectiveMassPerEndKg !== undefined && massPerEndKg > 0) {
    const ratio = massPerEndKg / effectiveMassPerEndKg;
    if (ratio < 0.5 || ratio > 2)
      findings.push(
        warning(
          [...at, 'massPerEndKg'],
          `${massPerEndKg}`,
          `about effectiveMassPerEndKg, ${effectiveMassPerEndKg} kg: both are the mass of roller and arms at one end, reduced to the nip`,
        ),
      );
  }
  return findings;
}

function checkDrums(path: Path, { loadFrom, rollerDiameterM }: Nip): readonly Finding[] {
  if (loadFrom === undefined || !('drums' in loadFrom)) return [];
  const {
    backDrumDiameterM: back,
    centreDistanceM,
    frontDrumDiameterM: front,
    frontDrumHigherM,
    webArrivesAt,
  } = loadFrom.drums;
  const at = [...path, 'loadFrom', 'drums'];
  const findings: Finding[] = [];
  const nearest = (back + front) / 2;
  if (centreDistanceM < nearest || centreDistanceM > back + front)
    findings.push(
      error(
        [...at, 'centreDistanceM'],
        `${centreDistanceM}`,
        `${figure(nearest)} to ${figure(back + front)} m: drums that do not touch, and between which a roll can lie`,
      ),
    );
  if (Math.abs(frontDrumHigherM) > 0.8 * centreDistanceM)
    findings.push(
      error(
        [...at, 'frontDrumHigherM'],
        `${frontDrumHigherM}`,
        `at most 0.8 of the distance of the axes either way, ${figure(0.8 * centreDistanceM)} m`,
      ),
    );
  const arriving = webArrivesAt === 'back drum' ? back : front;
  // A few per cent are a worn cover.
  if (Math.abs(rollerDiameterM / arriving - 1) > 0.05)
    findings.push(
      warning(
        [...path, 'rollerDiameterM'],
        `${rollerDiameterM}`,
        `the diameter of the ${webArrivesAt}, ${arriving} m, where the web arrives`,
      ),
    );
  return findings;
}

/** A static force per end far from what the nip loads of the machine make of the width. */
function checkStaticForce(
  path: Path,
  { staticForcePerEndN }: Nip,
  { machine, widthM }: NipSurroundings,
): readonly Finding[] {
  if (staticForcePerEndN === undefined || machine?.nipLoadNPerM === undefined) return [];
  const [least, most] = [machine.nipLoadNPerM.min, machine.nipLoadNPerM.max].map(
    (load) => (load * widthM) / 2,
  );
  if (least === undefined || most === undefined) return [];
  if (staticForcePerEndN >= least / 2 && staticForcePerEndN <= 2 * most) return [];
  return [
    warning(
      [...path, 'staticForcePerEndN'],
      `${staticForcePerEndN}`,
      `N, about nip load x width / 2: the winder's limits give ${figure(least)} to ${figure(most)} N`,
    ),
  ];
}
