import type { Reason } from './reason.js';

/**
 * A physical quantity as far as it is known: a finite value in the SI unit that the field's name carries, with its
 * standard uncertainty (one standard deviation, same unit, 0 where the value is exact), or the reason why it is not known.
 * Never NaN, never null, never the last good value. Source of the uncertainty convention: JCGM 100:2008, 2.3.1.
 */
export type Quantity = Known | Unknown;

export interface Known {
  readonly kind: 'known';
  readonly value: number;
  /** Standard uncertainty, same unit as `value`, >= 0. */
  readonly uncertainty: number;
}

export interface Unknown {
  readonly kind: 'unknown';
  readonly because: Reason;
}

/**
 * A known quantity.
 * @throws RangeError if `value` is not finite or `uncertainty` is negative or not finite.
 */
export function known(value: number, uncertainty = 0): Known {
  if (!Number.isFinite(value)) throw new RangeError(`value: a finite number is needed, got ${value}`);
  if (!(uncertainty >= 0 && Number.isFinite(uncertainty))) {
    throw new RangeError(`uncertainty: a finite number >= 0 is needed, got ${uncertainty}`);
  }
  return { kind: 'known', value, uncertainty };
}

/** A quantity that cannot be known, with the reason. */
export function unknown(because: Reason): Unknown {
  return { kind: 'unknown', because };
}

/** The value of a known quantity, `undefined` otherwise. */
export function valueOf(quantity: Quantity): number | undefined {
  return quantity.kind === 'known' ? quantity.value : undefined;
}
