/** A figure and the range in which it makes sense at all. */
export interface RangeCheck {
  /** What the caller calls it, with its unit in the name. */
  readonly name: string;
  readonly value: number;
  /** UCUM code, for the message; `1` for a ratio. */
  readonly unit: string;
  readonly low: number;
  readonly high: number;
}

/**
 * The figure itself, once it is known to be sensible: `low <= value <= high`.
 * @throws RangeError naming parameter, value, unit and the sensible range; NaN is out of range.
 */
export function inRange({ name, value, unit, low, high }: RangeCheck): number {
  if (value >= low && value <= high) return value;
  const suffix = unit === '1' ? '' : ` ${unit}`;
  throw new RangeError(`${name}: ${low} to ${high}${suffix} is needed, got ${value}${suffix}`);
}
