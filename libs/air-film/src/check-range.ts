/**
 * Refuses what makes no sense.
 * @throws RangeError naming parameter, value, unit and range; NaN is out of range.
 */
export function checkRange(name: string, value: number, unit: string, low: number, high: number): void {
  if (value >= low && value <= high) return;
  throw new RangeError(`${name}: ${low} to ${high} ${unit} is needed, got ${value} ${unit}`);
}
