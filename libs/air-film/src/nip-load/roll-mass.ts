import { type Known, known, type Quantity } from '@edge-margin/units';
import { inRange } from '../in-range.js';
import { firstOrder } from './first-order.js';

/** How far the layers of a roll lie closer or looser than the caliper says, relative. Own estimate. */
const packingUncertaintyRatio = 0.03;

/** Web as it is wound. */
export interface WoundWebMass {
  readonly grammageKgPerM2: number;
  readonly caliperM: number;
}

/**
 * Density of a wound roll, kg/m3: grammage over caliper. The layers of a roll are pressed by their tension and kept apart by air, 3 % (own estimate).
 * @throws RangeError if grammage or caliper makes no sense.
 */
export function bulkDensity({ grammageKgPerM2, caliperM }: WoundWebMass): Known {
  inRange({ name: 'grammageKgPerM2', value: grammageKgPerM2, unit: 'kg/m2', low: 1e-3, high: 5 });
  inRange({ name: 'caliperM', value: caliperM, unit: 'm', low: 1e-6, high: 5e-3 });
  const density = grammageKgPerM2 / caliperM;
  return known(density, packingUncertaintyRatio * density);
}

/** A wound roll, per width or as a whole. */
export interface WoundRoll {
  readonly diameterM: Quantity;
  readonly coreDiameterM: number;
  readonly bulkDensityKgPerM3: Quantity;
  /** Mass of core and shaft per width of web, kg/m; 0 if left out. */
  readonly coreMassKgPerM?: number;
}

/**
 * Mass of a wound roll per width of web, kg/m: `rho pi (D^2 - d^2)/4 + core`. Times the width it is the mass of the roll, see {@link rollMass}.
 * @returns unknown where diameter or density is.
 * @throws RangeError if a known diameter is less than the core or a dimension makes no sense.
 */
export function rollMassPerWidth(roll: WoundRoll): Quantity {
  checkRoll(roll);
  const { coreDiameterM, coreMassKgPerM = 0 } = roll;
  return firstOrder(
    (diameterM = 0, density = 0) => massPerWidth(diameterM, coreDiameterM, density) + coreMassKgPerM,
    [roll.diameterM, roll.bulkDensityKgPerM3],
  );
}

/**
 * Mass of a wound roll with its core, kg.
 * @param widthM width of the web, m, > 0; for several rolls on one shaft their sum.
 * @returns unknown where diameter or density is.
 * @throws RangeError if a known diameter is less than the core or a dimension makes no sense.
 */
export function rollMass(roll: WoundRoll, widthM: number): Quantity {
  inRange({ name: 'widthM', value: widthM, unit: 'm', low: 1e-3, high: 20 });
  const perWidth = rollMassPerWidth(roll);
  return perWidth.kind === 'unknown'
    ? perWidth
    : known(perWidth.value * widthM, perWidth.uncertainty * widthM);
}

/** `rho pi (D^2 - d^2)/4`, kg/m. */
export function massPerWidth(diameterM: number, coreDiameterM: number, densityKgPerM3: number): number {
  return (densityKgPerM3 * Math.PI * (diameterM ** 2 - coreDiameterM ** 2)) / 4;
}

/**
 * Checks a roll.
 * @throws RangeError naming parameter, value, unit and range.
 */
export function checkRoll({
  diameterM,
  coreDiameterM,
  bulkDensityKgPerM3,
  coreMassKgPerM = 0,
}: WoundRoll): void {
  inRange({ name: 'coreDiameterM', value: coreDiameterM, unit: 'm', low: 0, high: 2 });
  inRange({ name: 'coreMassKgPerM', value: coreMassKgPerM, unit: 'kg/m', low: 0, high: 1e5 });
  if (diameterM.kind === 'known') {
    inRange({
      name: 'diameterM',
      value: diameterM.value,
      unit: 'm',
      low: Math.max(coreDiameterM, 1e-3),
      high: 5,
    });
  }
  if (bulkDensityKgPerM3.kind === 'known') {
    inRange({
      name: 'bulkDensityKgPerM3',
      value: bulkDensityKgPerM3.value,
      unit: 'kg/m3',
      low: 10,
      high: 25_000,
    });
  }
}
