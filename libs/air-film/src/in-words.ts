import { type DisplayKind, type DisplaySystem, display, fromSi } from '@edge-margin/units';

/** A quantity with its unit, as people read it in a sentence. */
export function inWords(kind: DisplayKind, siValue: number, system: DisplaySystem): string {
  const { number, unit } = display(kind, siValue, system);
  return `${number} ${unit}`;
}

/** A small length of machine parts: `0.28 mm`, `0.0110 in`. */
export function smallLengthInWords(lengthM: number, system: DisplaySystem): string {
  return system === 'metric'
    ? `${fromSi(lengthM, 'mm').toFixed(2)} mm`
    : `${fromSi(lengthM, '[in_i]').toFixed(4)} in`;
}

/** A force on machine parts: `412 N`, `93 lbf`. */
export function forceInWords(forceN: number, system: DisplaySystem): string {
  return system === 'metric' ? `${forceN.toFixed(0)} N` : `${fromSi(forceN, '[lbf_av]').toFixed(0)} lbf`;
}

/** A factor to two figures: `32`, `1.4`. */
export function factorInWords(factor: number): string {
  return String(Number(factor.toPrecision(2)));
}
