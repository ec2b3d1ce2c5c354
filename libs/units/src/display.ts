import { fromSi } from './convert.js';

export type DisplaySystem = 'metric' | 'us';

/** Kinds of quantity that pages, alarm texts and the command line show. */
export type DisplayKind = keyof typeof shown;

interface Shown {
  /** UCUM code to convert to. */
  readonly code: string;
  /** How the unit is written for people. */
  readonly unit: string;
  readonly decimals: number;
}

/**
 * How each kind is shown. Decimals: what a reader on the plant floor acts on, no finer than the usual sensor resolves
 * (common practice, no source). `length` is web length; `ratio` is shown in per cent.
 */
const shown = {
  diameter: {
    metric: { code: 'mm', unit: 'mm', decimals: 0 },
    us: { code: '[in_i]', unit: 'in', decimals: 1 },
  },
  length: {
    metric: { code: 'm', unit: 'm', decimals: 0 },
    us: { code: '[ft_i]', unit: 'ft', decimals: 0 },
  },
  speed: {
    metric: { code: 'm/min', unit: 'm/min', decimals: 0 },
    us: { code: '[ft_i]/min', unit: 'ft/min', decimals: 0 },
  },
  nipLoad: {
    metric: { code: 'kN/m', unit: 'kN/m', decimals: 2 },
    us: { code: '[lbf_av]/[in_i]', unit: 'pli', decimals: 1 },
  },
  tension: {
    metric: { code: 'N/m', unit: 'N/m', decimals: 0 },
    us: { code: '[lbf_av]/[in_i]', unit: 'lbf/in', decimals: 2 },
  },
  film: {
    metric: { code: 'um', unit: 'µm', decimals: 2 },
    us: { code: '10*-6.[in_i]', unit: 'µin', decimals: 0 },
  },
  acceleration: {
    metric: { code: 'm/s2', unit: 'm/s²', decimals: 1 },
    us: { code: '[g]', unit: 'g', decimals: 2 },
  },
  ratio: {
    metric: { code: '%', unit: '%', decimals: 0 },
    us: { code: '%', unit: '%', decimals: 0 },
  },
} as const satisfies Record<string, Record<DisplaySystem, Shown>>;

export interface Displayed {
  /** Plain digits, `-` and `.`; never `-0`. */
  readonly number: string;
  readonly unit: string;
}

/**
 * How a quantity is written for people in the plant's preferred units.
 * @param siValue in the SI unit of the kind: m, m/s, N/m, m/s2 or 1.
 * @throws RangeError if the value is not finite.
 */
export function display(kind: DisplayKind, siValue: number, system: DisplaySystem): Displayed {
  if (!Number.isFinite(siValue)) throw new RangeError(`siValue: a finite number is needed, got ${siValue}`);
  const { code, unit, decimals } = shown[kind][system];
  const rounded = fromSi(siValue, code).toFixed(decimals);
  return { number: Number(rounded) === 0 ? rounded.replace('-', '') : rounded, unit };
}
