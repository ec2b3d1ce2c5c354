import { PI } from '../math/portable-math.js';
import type { Nip } from '../scenario/scenario-schema.js';

/**
 * A nip roller on two arms, as two points on the face that ride on the cover.
 *
 * The evenly spread contact of face width w is put at two points w/sqrt(12) either side of the middle: they have the same
 * stiffness against bounce and against rocking. Bounce: mass m on stiffness k w. Rocking: inertia J = ratio x m w^2/12.
 * In the two points' coordinates the mass matrix is [[p, q], [q, p]] with p + q = m/2 and p - q = ratio x m/2.
 */
export interface NipMechanics {
  /** Inverse mass matrix: response of a point to a force at itself and at the other one, 1/kg. */
  readonly own: number;
  readonly other: number;
  /** Per point. */
  readonly massKg: number;
  readonly inboardMassKg: number;
  readonly stiffnessNPerM: number;
  readonly dampingNSPerM: number;
}

export function nipMechanics(nip: Nip, widthM: number): NipMechanics {
  const massKg = nip.massKg / 2;
  const stiffnessNPerM = (nip.stiffnessNPerM2 * widthM) / 2;
  const bounce = 1 / massKg;
  const rock = 1 / (massKg * nip.rockInertiaRatio);
  return {
    own: (bounce + rock) / 2,
    other: (bounce - rock) / 2,
    massKg,
    inboardMassKg: massKg * nip.inboardMassRatio,
    stiffnessNPerM,
    dampingNSPerM: 2 * nip.dampingRatio * Math.sqrt(stiffnessNPerM * massKg),
  };
}

/** Shorter of the periods of bounce and rocking while in contact, s. */
export function naturalPeriodS(nip: Nip, widthM: number): number {
  const omega = Math.sqrt((nip.stiffnessNPerM2 * widthM) / (nip.massKg * Math.min(1, nip.rockInertiaRatio)));
  return (2 * PI) / omega;
}
