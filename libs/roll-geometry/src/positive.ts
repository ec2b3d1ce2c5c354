/**
 * The number itself, once it is known to be finite and greater than 0.
 * @param name what the caller calls it, with its unit in the name.
 * @param value the number to check.
 * @param unit UCUM code, for the message.
 * @throws RangeError naming parameter, value and unit.
 */
export function positive(name: string, value: number, unit: string): number {
  if (value > 0 && Number.isFinite(value)) return value;
  throw new RangeError(`${name}: a finite number > 0 ${unit} is needed, got ${value} ${unit}`);
}

/**
 * The number itself, once it is known to be finite and not negative.
 * @param name what the caller calls it, with its unit in the name.
 * @param value the number to check.
 * @param unit UCUM code, for the message.
 * @throws RangeError naming parameter, value and unit.
 */
export function notNegative(name: string, value: number, unit: string): number {
  if (value >= 0 && Number.isFinite(value)) return value;
  throw new RangeError(`${name}: a finite number >= 0 ${unit} is needed, got ${value} ${unit}`);
}
