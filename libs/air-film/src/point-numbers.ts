import type { DisplaySystem } from '@edge-margin/units';
import type { AirPoint } from './air-point.js';
import { type AirProperties, airProperties, standardAir } from './air-properties.js';
import { arrivingNip } from './arriving-nip.js';
import { checkRange } from './check-range.js';
import { type NipProfile, nipProfile } from './nip-profile.js';

/** An operating point as one flat record of checked numbers, everything left out filled in. */
export interface PointNumbers {
  readonly speedMPerS: number;
  readonly rollDiameterM: number;
  readonly tensionNPerM: number;
  readonly widthM: number;
  readonly combinedRoughnessM: number;
  readonly permeanceMPerPaS: number;
  /** 0 where it is not known. */
  readonly grammageKgPerM2: number;
  /** 0 where there is no nip or where it does not touch. */
  readonly nipLoadNPerM: number;
  readonly nipRollerDiameterM: number;
  readonly coverModulusPa: number;
  readonly coverPoissonRatio: number;
  /** 0 where it is not known. */
  readonly coverThicknessM: number;
  /** What keeps the nip from pressing everywhere; null where nothing is told of it, or none touches. */
  readonly profile: NipProfile | null;
  readonly viscosityPaS: number;
  readonly pressurePa: number;
  readonly meanFreePathM: number;
  readonly floatingWrapsAllowed: number;
  readonly boundaryFactor: number;
  readonly speedLimitMPerS: number;
  /** Units of sentences. */
  readonly display: DisplaySystem;
}

/** The keys that hold a number. */
export type PointNumberKey = Exclude<keyof PointNumbers, 'display' | 'profile'>;

/** Outer wraps that may float where nothing is said: own choice, to be calibrated with rated rolls. */
const defaultWrapsAllowed = 3;
const defaultSpeedLimitMPerS = 100;

/** Unit, lowest and highest value that make sense at all. */
const ranges: Readonly<Record<PointNumberKey, readonly [unit: string, low: number, high: number]>> = {
  speedMPerS: ['m/s', 0, 300],
  rollDiameterM: ['m', 1e-3, 20],
  tensionNPerM: ['N/m', 1e-3, 1e6],
  widthM: ['m', 1e-4, 50],
  combinedRoughnessM: ['m', 1e-10, 1e-2],
  permeanceMPerPaS: ['m/(Pa s)', 0, 10],
  grammageKgPerM2: ['kg/m2', 0, 100],
  nipLoadNPerM: ['N/m', 0, 1e6],
  nipRollerDiameterM: ['m', 1e-3, 20],
  coverModulusPa: ['Pa', 1e4, 1e13],
  coverPoissonRatio: ['1', 0, 0.5],
  coverThicknessM: ['m', 0, 1],
  viscosityPaS: ['Pa s', 1e-7, 1e-2],
  pressurePa: ['Pa', 1e3, 1e9],
  meanFreePathM: ['m', 0, 1e-4],
  floatingWrapsAllowed: ['wraps', 1, 1e6],
  boundaryFactor: ['1', 1e-3, 1e3],
  speedLimitMPerS: ['m/s', 1e-3, 300],
};
const rangesInOrder = Object.entries(ranges) as readonly [PointNumberKey, (typeof ranges)['widthM']][];

/**
 * Refuses a number of a point that makes no sense.
 * @throws RangeError naming parameter, value, unit and range.
 */
export function checkNumber(key: PointNumberKey, value: number): void {
  const [unit, low, high] = ranges[key];
  checkRange(key, value, unit, low, high);
}

/**
 * The numbers of an operating point, checked.
 * @throws RangeError naming parameter, value, unit and range.
 */
export function pointNumbers(point: AirPoint): PointNumbers {
  const { web, running } = point;
  const nip = arrivingNip(point);
  const air = airOf(point.air);
  const numbers: PointNumbers = {
    speedMPerS: running.speedMPerS,
    rollDiameterM: running.rollDiameterM,
    tensionNPerM: running.tensionNPerM,
    widthM: web.widthM,
    combinedRoughnessM: web.combinedRoughnessM,
    permeanceMPerPaS: web.permeanceMPerPaS,
    grammageKgPerM2: web.grammageKgPerM2 ?? 0,
    nipLoadNPerM: nip === null ? 0 : nip.loadNPerM,
    nipRollerDiameterM: nip === null ? 1 : nip.rollerDiameterM,
    coverModulusPa: nip === null ? 1e6 : nip.coverModulusPa,
    coverPoissonRatio: nip?.coverPoissonRatio ?? 0.5,
    coverThicknessM: nip?.coverThicknessM ?? 0,
    profile: nip === null ? null : nipProfile(point, nip),
    viscosityPaS: air.viscosityPaS,
    pressurePa: air.pressurePa,
    meanFreePathM: air.meanFreePathM,
    floatingWrapsAllowed: point.floatingWrapsAllowed ?? defaultWrapsAllowed,
    boundaryFactor: point.boundaryFactor ?? 1,
    speedLimitMPerS: point.speedLimitMPerS ?? defaultSpeedLimitMPerS,
    display: point.display ?? 'metric',
  };
  for (const [key, [unit, low, high]] of rangesInOrder) checkRange(key, numbers[key], unit, low, high);
  return numbers;
}

function airOf(air: AirPoint['air']): AirProperties {
  if (air === undefined) return standardAir;
  if ('viscosityPaS' in air) return air;
  checkRange('temperatureC', air.temperatureC, 'Cel', -80, 300);
  checkRange('pressurePa', air.pressurePa, 'Pa', 1e3, 1e9);
  checkRange('relativeHumidityRatio', air.relativeHumidityRatio ?? 0, '1', 0, 1);
  return airProperties(air);
}
