import { type Quantity, known, reason, unknown } from '@edge-margin/units';
import { positive } from './positive.js';

/** Relative standard uncertainty of an effective mass that is given as a bare number. Own assumption. */
const massUncertaintyRatio = 0.1;
/** A nip load that swings more than this is not at rest. Own choice. */
const restlessSwingRatio = 0.05;

/** What the contact-loss indicator of one end is made of. */
export interface ContactLossInput {
  /** Peak acceleration of the nip roller within the block, positive towards the winding roll, m/s2. */
  readonly peakAccelerationMPerS2: Quantity;
  /** Mass of nip roller and arms reduced to the nip, per end, kg, > 0. */
  readonly effectiveMassKg: number | undefined;
  /** Net static closing force at this end, N. */
  readonly staticForceN: Quantity;
  /** Swing of the nip load at the same end and time, as the witness of a false acceleration. */
  readonly swingRatio: Quantity;
  /** The winder stands: no acceleration is then no surprise. */
  readonly standing: boolean;
}

/**
 * Way to contact loss at one end: `B = m a / F`, a the block's peak acceleration **towards** the winding roll. 1 = the roller just floats.
 *
 * Sign: on the roller, `m x'' = N - F` with x'' positive away from the roll, so `N = F + m x''`, and contact is lost exactly where the acceleration
 * towards the roll, -x'', reaches F/m: the roll draws back faster than the closing force can follow. That holds for any stiffness of the contact
 * (own derivation; own time integration in the tests). In free flight the acceleration stays clipped at F/m, so B saturates near 1, and with an uncertain
 * m/F may never be seen to reach it.
 * Uncertainty, first order (JCGM 100:2008, 5.1.2): `(u(B)/B)^2 = (u(a)/a)^2 + (u(m)/m)^2 + (u(F)/F)^2`, with 10 % for the mass (own assumption).
 * Valid for an accelerometer on the roller's bearing housing, low-passed below the first resonance of arm and bearing, in blocks of at least ten periods of
 * the slowest bounce looked for.
 * The peak of a vibration is positive whatever it does; a negative one, or none while the nip load swings, is a sensor mounted the other way or dead. It gives
 * no indicator. Where the source turns the sign round and still sends a positive peak, it is the peak away from the roll: in contact about the same, in bounce
 * larger, so it errs to the safe side and cannot be told.
 */
export function contactLossRatio(input: ContactLossInput): Quantity {
  const { effectiveMassKg, staticForceN: force } = input;
  if (force.kind === 'unknown' && force.because.code === 'nip-open') return force;
  const peak = believedPeak(input);
  if (peak.kind === 'unknown') return peak;
  if (effectiveMassKg === undefined) {
    return unknown(
      reason('no-effective-mass', 'the plant file gives no effective mass per end for this nip'),
    );
  }
  if (force.kind === 'unknown') return force;
  const massKg = positive('effectiveMassKg', effectiveMassKg, 'kg');
  const ratio = (massKg * peak.value) / force.value;
  const fromPeak = (massKg * peak.uncertainty) / force.value;
  return known(
    ratio,
    Math.hypot(fromPeak, ratio * massUncertaintyRatio, (ratio * force.uncertainty) / force.value),
  );
}

function believedPeak({
  peakAccelerationMPerS2: peak,
  swingRatio: swing,
  standing,
}: ContactLossInput): Quantity {
  if (peak.kind === 'unknown' || peak.value > 0) return peak;
  const isZero = peak.value >= -2 * peak.uncertainty;
  if (isZero && standing) return known(0, peak.uncertainty);
  if (isZero && swing.kind === 'known' && swing.value <= restlessSwingRatio)
    return known(0, peak.uncertainty);
  const params = { peakAccelerationMPerS2: peak.value };
  if (isZero && swing.kind === 'unknown') {
    return unknown(
      reason(
        'acceleration-unconfirmed',
        'the acceleration shows no vibration, and no nip load swing confirms it',
        params,
      ),
    );
  }
  return unknown(
    reason(
      'acceleration-sign-suspicious',
      'acceleration sign suspicious: the peak towards the roll is not positive',
      params,
    ),
  );
}
