import { type Quantity, known, reason, unknown } from '@edge-margin/units';
import { positive } from './positive.js';

/** Relative standard uncertainty of a static force that is given as a bare number. Own assumption. */
const givenForceUncertaintyRatio = 0.05;

/** At or below this load the nip is open, N/m: a thousandth of the lightest nip in use does not press. Own choice. */
const openAtNPerM = 0.1;

/** Whether a nip under this load is open. */
export function isOpenAt(nipLoadNPerM: number): boolean {
  return nipLoadNPerM <= openAtNPerM;
}

/** Where the static force at one end of the nip comes from. */
export interface StaticForceSource {
  /** Mean nip load at this end per contact width, N/m. */
  readonly nipLoadNPerM: Quantity;
  /** Width of web under the nip (not of the roller face), m, > 0; each end carries half. */
  readonly contactWidthM: number;
  /** Net static closing force per end, N, > 0, where it is not to be computed from load and width. */
  readonly staticForcePerEndN?: number;
}

/**
 * Net static closing force at one end of the nip: the force given, or `F = w b / 2` with load w per width and contact width b.
 * A load at or below 0.1 N/m is an open nip, given force or not. A load not above its own uncertainty does not tell a force.
 * Source: statics of a beam on two supports under an even load (own derivation).
 */
export function staticForceAtEnd({
  nipLoadNPerM,
  contactWidthM,
  staticForcePerEndN,
}: StaticForceSource): Quantity {
  positive('contactWidthM', contactWidthM, 'm');
  if (nipLoadNPerM.kind === 'known' && isOpenAt(nipLoadNPerM.value)) return nipIsOpen(nipLoadNPerM.value);
  if (staticForcePerEndN !== undefined) {
    const forceN = positive('staticForcePerEndN', staticForcePerEndN, 'N');
    return known(forceN, givenForceUncertaintyRatio * forceN);
  }
  if (nipLoadNPerM.kind === 'unknown') return nipLoadNPerM;
  if (nipLoadNPerM.value <= nipLoadNPerM.uncertainty) {
    const params = { nipLoadNPerM: nipLoadNPerM.value, uncertaintyNPerM: nipLoadNPerM.uncertainty };
    return unknown(
      reason('nip-load-too-small', 'the nip load is no larger than its own uncertainty', params),
    );
  }
  return known((nipLoadNPerM.value * contactWidthM) / 2, (nipLoadNPerM.uncertainty * contactWidthM) / 2);
}

/** Why nothing can bounce: the nip does not press. */
export function nipIsOpen(nipLoadNPerM: number): Quantity {
  return unknown(reason('nip-open', 'the nip is open', { nipLoadNPerM }));
}
