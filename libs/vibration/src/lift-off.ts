import { type Quantity, type Reason, reason } from '@edge-margin/units';

/** Within this much of 1 an uncertain contact-loss ratio counts as lift-off at most: in free flight it saturates. Own choice. */
const widestAllowance = 0.2;
/** A swing this close to 1 is lift-off, the smallest load being as good as none. Own choice. */
const swingAllowance = 0.05;

/** Whether lift-off is likely, what speaks for it, and what is missing to tell. */
export interface LiftOff {
  readonly contactLost: boolean;
  readonly evidence: Reason;
}

/**
 * Judges by block peaks alone whether a nip lifts off: the contact-loss ratio lies within its uncertainty of 1 (by 0.2 at most), or the load swings by 0.95 and more.
 * Only peaks are known here: a clipped, one-sided wave form would be the proof; without it lift-off is likely or not.
 * Source: own derivation (the acceleration saturates at F/m in free flight); allowances are own choices.
 * @param contactLoss peak inertia force towards lift-off over static force, 1.
 * @param swing (mean - minimum) / mean of the nip load, 1.
 */
export function liftOff(contactLoss: Quantity, swing: Quantity): LiftOff {
  const missing = 'without the wave form clipping and one-sidedness cannot be seen';
  if (
    contactLoss.kind === 'known' &&
    contactLoss.value >= 1 - Math.min(contactLoss.uncertainty, widestAllowance)
  ) {
    const text = `lift-off likely: peak inertia force ${contactLoss.value.toFixed(2)} of the static force, within its uncertainty of 1; ${missing}`;
    return {
      contactLost: true,
      evidence: reason('contact-lost-by-acceleration', text, { contactLossRatio: contactLoss.value }),
    };
  }
  if (swing.kind === 'known' && swing.value >= 1 - swingAllowance) {
    return {
      contactLost: true,
      evidence: reason(
        'contact-lost-by-swing',
        `lift-off likely: the nip load swings by ${swing.value.toFixed(2)} of its mean; ${missing}`,
        { swingRatio: swing.value },
      ),
    };
  }
  if (contactLoss.kind === 'unknown' && swing.kind === 'unknown') {
    return {
      contactLost: false,
      evidence: reason(
        'contact-not-watched',
        `nothing tells whether the nip lifts off: ${contactLoss.because.text}`,
      ),
    };
  }
  return { contactLost: false, evidence: reason('no-sign-of-lift-off', `no sign of lift-off; ${missing}`) };
}
