import { positive } from './positive.js';

/**
 * Rotation frequency of a roll: `f = V / (pi D)`.
 * @param speedMPerS web speed, m/s, > 0.
 * @param diameterM diameter, m, > 0.
 */
export function rotationFrequency(speedMPerS: number, diameterM: number): number {
  return positive('speedMPerS', speedMPerS, 'm/s') / (Math.PI * positive('diameterM', diameterM, 'm'));
}

/**
 * Natural frequency of a nip roller on its contact: `f_n = sqrt(k / m) / (2 pi)`.
 * The winding roll's own stiffness acts in series and is often the softer: a measured f_n goes before this one.
 * @param stiffnessNPerM contact stiffness over the whole face, N/m, > 0.
 * @param massKg mass reduced to the nip, of both ends, kg, > 0.
 */
export function naturalFrequency(stiffnessNPerM: number, massKg: number): number {
  return (
    Math.sqrt(positive('stiffnessNPerM', stiffnessNPerM, 'N/m') / positive('massKg', massKg, 'kg')) /
    (2 * Math.PI)
  );
}

/** A diameter at which a multiple of the rotation frequency meets the natural frequency. */
export interface ResonanceDiameter {
  /** Order n: multiple of the rotation frequency. */
  readonly order: number;
  readonly diameterM: number;
}

/**
 * Diameters within a build at which an order of the roll's rotation meets a natural frequency: `D = n V / (pi f_n)`, small orders first.
 * Source: `n V / (pi D) = f_n` (own arithmetic). At constant speed the orders sweep down through f_n as the roll grows.
 * Valid for an f_n that does not depend on the diameter, as on a lay-on arm; where the roll is the mass (on drums) f_n falls as it grows and a resonance may last.
 * How well the diameter is known is how well f_n is: about 5 % after three builds that behaved alike, else 10 to 15 % (common practice, no source).
 * @param build speed, m/s; natural frequency, Hz; first and last diameter looked at, m; all > 0.
 */
export function resonanceDiameters(build: {
  readonly speedMPerS: number;
  readonly naturalFrequencyHz: number;
  readonly fromDiameterM: number;
  readonly toDiameterM: number;
}): readonly ResonanceDiameter[] {
  const spacingM =
    positive('speedMPerS', build.speedMPerS, 'm/s') /
    (Math.PI * positive('naturalFrequencyHz', build.naturalFrequencyHz, 'Hz'));
  const fromM = positive('fromDiameterM', build.fromDiameterM, 'm');
  const toM = positive('toDiameterM', build.toDiameterM, 'm');
  const first = Math.max(1, Math.ceil(fromM / spacingM));
  const last = Math.floor(toM / spacingM);
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, k) => ({
    order: first + k,
    diameterM: (first + k) * spacingM,
  }));
}
