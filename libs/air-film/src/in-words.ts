import { type DisplayKind, display } from '@edge-margin/units';

/** A quantity with its unit, as people read it. */
export function inWords(kind: DisplayKind, siValue: number): string {
  const { number, unit } = display(kind, siValue, 'metric');
  return `${number} ${unit}`;
}

/** A factor to two figures: `32`, `1.4`. */
export function factorInWords(factor: number): string {
  return String(Number(factor.toPrecision(2)));
}
