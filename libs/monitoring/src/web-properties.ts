import {
  combinedRoughness,
  modulusFromShore,
  type NipBending,
  peakRoughnessFromRz,
  permeanceFromBendtsen,
  permeanceFromGurley,
  rmsRoughnessFromPps,
  rmsRoughnessFromRa,
  tubeBendingStiffness,
} from '@edge-margin/air-film';
import type { Grade, Nip } from '@edge-margin/plant';
import { known, type Quantity, reason, unknown } from '@edge-margin/units';

type Estimated = NonNullable<Grade['permeanceMPerPaS']>;
type Face = NonNullable<Grade['faces']>[number];

/** A property of the plant file, which may stand there bare or with its relative standard uncertainty. */
function estimate(property: Estimated): Quantity {
  return typeof property === 'number'
    ? known(property)
    : known(property.value, property.value * property.uncertaintyRatio);
}

/** Combined rms roughness of the faces that meet in the roll, m, from whatever the grade tells; not known where its method cannot tell. */
export function combinedRoughnessOf(grade: Grade): Quantity {
  if (grade.combinedRoughnessM !== undefined) return estimate(grade.combinedRoughnessM);
  const [first, second = first] = grade.faces ?? [];
  if (first === undefined || second === undefined)
    return unknown(reason('no-roughness', `the grade ${grade.id} tells no roughness`, { grade: grade.id }));
  const sameMethod = !('rqM' in first) && Object.keys(first)[0] === Object.keys(second)[0];
  return combinedRoughness({ first: roughnessOf(first), second: roughnessOf(second), sameMethod });
}

function roughnessOf(face: Face): Quantity {
  if ('rqM' in face) return known(face.rqM);
  if ('raM' in face) return rmsRoughnessFromRa(face.raM);
  if ('ppsM' in face) return rmsRoughnessFromPps(face.ppsM);
  return peakRoughnessFromRz(face.rzM);
}

/** Air permeance of the web, m/(Pa s), from whatever the grade tells. */
export function permeanceOf(grade: Grade): Quantity {
  if (grade.permeanceMPerPaS !== undefined) return estimate(grade.permeanceMPerPaS);
  if (grade.gurleyS !== undefined) return permeanceFromGurley(grade.gurleyS);
  if (grade.bendtsenMlPerMin !== undefined) return permeanceFromBendtsen(grade.bendtsenMlPerMin);
  return unknown(reason('no-permeance', `the grade ${grade.id} tells no permeance`, { grade: grade.id }));
}

/**
 * How much thinner the web is in its thinnest lane, m: as told, or from the radius of a finished roll, which has given way as rolls do: `range = caliper x 4 D g/(D^2 - d^2)` for a lane that lies g lower (own derivation, see
 * `unpressedLanes`). Undefined where the grade tells neither.
 */
export function profileRangeOf(grade: Grade, coreDiameterM: number): number | undefined {
  const { caliperM, profileRangeM, rollProfileRangeM: lowerM, setEndDiameterM: atM } = grade;
  if (profileRangeM !== undefined || lowerM === undefined || atM === undefined) return profileRangeM;
  const range = (caliperM * 4 * atM * lowerM) / (atM ** 2 - coreDiameterM ** 2);
  return Math.min(range, caliperM / 2);
}

/** The nip roller as a beam; undefined where the plant file does not tell it. */
export function bendingOf({ bending }: Nip, contactWidthM: number): NipBending | undefined {
  if (bending === undefined) return undefined;
  const { bearingSpanM, bendingStiffnessNM2, crownM, tube, weightTowardsRollNPerM } = bending;
  const stiffness = bendingStiffnessNM2 ?? (tube === undefined ? undefined : tubeBendingStiffness(tube));
  if (stiffness === undefined) return undefined;
  return { bearingSpanM, bendingStiffnessNM2: stiffness, contactWidthM, weightTowardsRollNPerM, crownM };
}

/** Young's modulus of the nip roller's cover, Pa. */
export function coverModulusOf(nip: Nip): Quantity {
  if (nip.coverModulusPa !== undefined) return estimate(nip.coverModulusPa);
  if (nip.coverShoreA !== undefined) return modulusFromShore(nip.coverShoreA);
  return unknown(reason('no-cover-modulus', 'the plant file tells no modulus and no hardness of the cover'));
}
