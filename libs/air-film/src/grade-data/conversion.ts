import { known, type Quantity, reason, unknown } from '@edge-margin/units';

/** How good a conversion is, and over which figures. */
export interface Conversion {
  /** What is converted, e.g. `Gurley air resistance`. */
  readonly figure: string;
  /** What comes out, e.g. `permeance, m/(Pa s)`. */
  readonly quantity: string;
  /** UCUM code of the unit in which the figure is given. */
  readonly unit: string;
  /** Lowest and highest figure for which the method is made. */
  readonly goodFor: FigureRange;
  /** Relative standard uncertainty there (JCGM 100:2008, 5.1). */
  readonly uncertaintyRatio: number;
  /** Lowest and highest figure that still says something. Outside the quantity is not known. */
  readonly readableFor: FigureRange;
  /** Relative standard uncertainty of a figure that is readable but outside the good range. */
  readonly wideUncertaintyRatio: number;
  /** Where factor, ranges and uncertainties come from. */
  readonly source: string;
}

export interface FigureRange {
  readonly low: number;
  readonly high: number;
}

/** A figure as it was read. */
export interface ReadFigure {
  /** Name of the caller's parameter. */
  readonly name: string;
  readonly value: number;
  /** Relative standard uncertainty of the reading itself (scatter of the sheets, of the instrument), >= 0. */
  readonly readingUncertaintyRatio: number;
}

/**
 * Converts a figure: the value by `toSi`, its relative uncertainty as the root of the sum of squares of conversion and reading. That is right for
 * conversions that are products and powers of exponent 1 or -1 (JCGM 100:2008, 5.1.6).
 * @returns unknown outside the figures that say something.
 * @throws RangeError if the figure is not finite or not above 0, or if the uncertainty is negative.
 */
export function convertFigure(
  conversion: Conversion,
  figure: ReadFigure,
  toSi: (value: number) => number,
): Quantity {
  const { goodFor, readableFor, unit } = conversion;
  const { name, value, readingUncertaintyRatio } = figure;
  if (!(value > 0 && Number.isFinite(value))) {
    const sensible = `sensible: ${rounded(readableFor.low)} to ${rounded(readableFor.high)} ${unit}`;
    throw new RangeError(
      `${name}: a finite number > 0 ${unit} is needed (${sensible}), got ${value} ${unit}`,
    );
  }
  if (!holds(readableFor, value)) return outsideMethod(conversion, value);
  const ownRatio = holds(goodFor, value) ? conversion.uncertaintyRatio : conversion.wideUncertaintyRatio;
  const siValue = toSi(value);
  return known(siValue, siValue * Math.hypot(ownRatio, checkedRatio(readingUncertaintyRatio)));
}

/**
 * A relative uncertainty that can be one.
 * @throws RangeError if it is negative or above 2.
 */
function checkedRatio(readingUncertaintyRatio: number): number {
  if (readingUncertaintyRatio >= 0 && readingUncertaintyRatio <= 2) return readingUncertaintyRatio;
  throw new RangeError(`readingUncertaintyRatio: 0 to 2 is needed, got ${readingUncertaintyRatio}`);
}

function holds(range: FigureRange, value: number): boolean {
  return value >= range.low && value <= range.high;
}

function outsideMethod({ figure, quantity, readableFor, unit }: Conversion, value: number): Quantity {
  const { low, high } = readableFor;
  const side = value < low ? `below ${rounded(low)}` : `above ${rounded(high)}`;
  const text = `a ${figure} of ${rounded(value)} ${unit} is ${side} ${unit} and tells no ${quantity}: measure it another way`;
  return unknown(reason('figure-outside-method', text, { figure, value, unit, low, high }));
}

function rounded(x: number): string {
  return String(Number(x.toPrecision(3)));
}
