import { type Reason, reason } from '@edge-margin/units';
import { inRange } from '../in-range.js';

/** What of a roll is wound as if there were no nip, and why. */
export interface WoundWithoutNip {
  /** Whether the share is one of the width or of the length of the web. */
  readonly of: 'width' | 'length';
  /** Share with the no-nip film, 0 to 1. */
  readonly ratio: number;
  /** Left out where nothing is. */
  readonly because?: Reason;
}

/**
 * Share of the length wound without nip where contact is lost part of the time. More than 0 is an event, not an average: a few per cent of one turn are enough for a
 * wrap to lose its hold there (own derivation).
 * @param contactLostRatio share of the time, 0 to 1, at one end of the nip.
 * @param end the end where contact is lost.
 * @throws RangeError outside 0 to 1.
 */
export function contactLostInTime(
  contactLostRatio: number,
  end: 'tending' | 'drive' | 'both',
): WoundWithoutNip {
  const ratio = inRange({ name: 'contactLostRatio', value: contactLostRatio, unit: '1', low: 0, high: 1 });
  if (ratio === 0) return { of: 'length', ratio };
  const where = end === 'both' ? 'at both ends' : `at the ${end} side`;
  const text = `the nip leaves the roll ${where} for ${inPercent(ratio)} of the time`;
  return { of: 'length', ratio, because: reason('nip-contact-lost', text, { ratio, end }) };
}

/**
 * All of the length where the web meets the roll before the nip: the air is then under the web already, and the nip finds what the web's tension let in. An upper bound: a nip behind the
 * first contact still presses out what can leave sideways or backwards (own judgement; common practice is to let the nip make the first contact).
 * @param wrapBeforeNipRad angle over which the web lies on the roll ahead of the nip, rad, 0 to 2 pi; 0 = meets it in the nip.
 * @throws RangeError outside 0 to 2 pi.
 */
export function webTouchesFirst(wrapBeforeNipRad: number): WoundWithoutNip {
  inRange({ name: 'wrapBeforeNipRad', value: wrapBeforeNipRad, unit: 'rad', low: 0, high: 2 * Math.PI });
  if (wrapBeforeNipRad === 0) return { of: 'length', ratio: 0 };
  const text = `the web touches the roll ${((wrapBeforeNipRad * 180) / Math.PI).toFixed(0)} degrees before the nip, with its air`;
  return { of: 'length', ratio: 1, because: reason('web-touches-before-nip', text, { wrapBeforeNipRad }) };
}

/** A share as people read it. */
export function inPercent(ratio: number): string {
  return `${Number((100 * ratio).toPrecision(2))} %`;
}
