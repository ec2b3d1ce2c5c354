import { type DisplayKind, type DisplaySystem, display } from '@edge-margin/units';

/** The number alone, in the plant's preferred unit: `830`. A value that is no number is told as `–`; below zero the sign is a minus, not a hyphen. */
export function numberWords(kind: DisplayKind, siValue: number, system: DisplaySystem): string {
  return Number.isFinite(siValue) ? display(kind, siValue, system).number.replace('-', '−') : '–';
}

/** The unit alone: `mm`, `m/min`, `kN/m`. */
export function unitWords(kind: DisplayKind, system: DisplaySystem): string {
  return display(kind, 0, system).unit;
}

/** Number and unit: `830 mm`. */
export function quantityWords(kind: DisplayKind, siValue: number, system: DisplaySystem): string {
  return `${numberWords(kind, siValue, system)} ${unitWords(kind, system)}`;
}

/** Shown number per SI number: every kind is proportional. Drawings scale by it, so that their marks stand at round numbers of the shown unit. */
export function shownPerSi(kind: DisplayKind, system: DisplaySystem): number {
  const large = 1e9;
  return Number(display(kind, large, system).number) / large;
}
