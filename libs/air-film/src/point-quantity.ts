import type { DisplayKind, DisplaySystem } from '@edge-margin/units';
import { inWords } from './in-words.js';
import type { PointNumberKey } from './point-numbers.js';

interface Described {
  readonly key: PointNumberKey;
  readonly unit: string;
  /** How names of its figures end. */
  readonly suffix: 'MPerS' | 'NPerM' | 'M';
  /** Subject of a sentence. */
  readonly words: string;
  readonly display: DisplayKind;
  /** The values that are looked through where nothing else is said. */
  readonly range: readonly [low: number, high: number];
}

/** Quantities of an operating point that can be traded for each other or drawn on an axis. */
export const pointQuantities = {
  speed: {
    key: 'speedMPerS',
    unit: 'm/s',
    suffix: 'MPerS',
    words: 'speed',
    display: 'speed',
    range: [1e-3, 100],
  },
  nipLoad: {
    key: 'nipLoadNPerM',
    unit: 'N/m',
    suffix: 'NPerM',
    words: 'nip load',
    display: 'nipLoad',
    range: [1, 2e4],
  },
  tension: {
    key: 'tensionNPerM',
    unit: 'N/m',
    suffix: 'NPerM',
    words: 'tension',
    display: 'tension',
    range: [1, 5000],
  },
  diameter: {
    key: 'rollDiameterM',
    unit: 'm',
    suffix: 'M',
    words: 'roll diameter',
    display: 'diameter',
    range: [0.01, 5],
  },
  nipRollerDiameter: {
    key: 'nipRollerDiameterM',
    unit: 'm',
    suffix: 'M',
    words: 'diameter of the nip roller',
    display: 'diameter',
    range: [0.02, 3],
  },
  combinedRoughness: {
    key: 'combinedRoughnessM',
    unit: 'm',
    suffix: 'M',
    words: 'combined roughness',
    display: 'film',
    range: [1e-9, 1e-4],
  },
} as const satisfies Record<string, Described>;

export type PointQuantity = keyof typeof pointQuantities;

/** The value of a quantity with its unit, as people read it: `3.00 kN/m`. */
export function quantityInWords(quantity: PointQuantity, siValue: number, system: DisplaySystem): string {
  return inWords(pointQuantities[quantity].display, siValue, system);
}
