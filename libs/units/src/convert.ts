import { lookUpUnit } from './look-up-unit.js';
import type { Unit } from './unit-table.js';

/**
 * Turns a number in a unit into the SI value: `(number + offset) x numerator / denominator`.
 * Whole results of whole numbers come out whole; otherwise the error is a few units in the last place.
 * @param value the number as given; anything but a finite number passes through the arithmetic unchanged in kind.
 * @param unitCode UCUM code of a supported unit.
 * @throws RangeError if the unit is not supported.
 */
export function toSi(value: number, unitCode: string): number {
  const unit = supported(unitCode);
  return ((value + unit.offset) * unit.numerator) / unit.denominator;
}

/**
 * Turns an SI value into the number in a unit: `value x denominator / numerator - offset`, the inverse of {@link toSi}.
 * @param siValue in the SI unit of the unit's dimension.
 * @param unitCode UCUM code of a supported unit.
 * @throws RangeError if the unit is not supported.
 */
export function fromSi(siValue: number, unitCode: string): number {
  const unit = supported(unitCode);
  return (siValue * unit.denominator) / unit.numerator - unit.offset;
}

function supported(unitCode: string): Unit {
  const found = lookUpUnit(unitCode);
  if (found.ok) return found.unit;
  const hint = found.nearest === undefined ? '' : `; the nearest is ${found.nearest}`;
  throw new RangeError(`unitCode: a supported UCUM code is needed, got ${unitCode}${hint}`);
}
