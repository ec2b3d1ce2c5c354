import { waterVapourGasConstantJPerKgK, zeroCelsiusK } from '@edge-margin/units';
import type { AirCondition } from './air-condition.js';

/**
 * Saturation pressure of water vapour over water, Pa: `611.2 exp(17.62 t/(243.12 + t))`, the Magnus formula with the constants of the World Meteorological Organization's guide to
 * instruments (WMO-No. 8, from memory). Within 0.3 % of steam tables from 0 to 40 C, 0.5 % to 60 C, 2.5 % to 100 C.
 * @param temperatureC degrees Celsius, -45 to 100.
 */
export function saturationPressure(temperatureC: number): number {
  return 611.2 * Math.exp((17.62 * temperatureC) / (243.12 + temperatureC));
}

/**
 * Share of the molecules that are water, 0 to 1: relative humidity x saturation pressure / ambient pressure.
 * @throws RangeError where the vapour alone would have more than the ambient pressure.
 */
export function vapourShare({ temperatureC, pressurePa, relativeHumidityRatio = 0 }: AirCondition): number {
  const vapourPa = relativeHumidityRatio * saturationPressure(temperatureC);
  if (vapourPa <= pressurePa) return vapourPa / pressurePa;
  throw new RangeError(
    `relativeHumidityRatio: at most ${(pressurePa / saturationPressure(temperatureC)).toPrecision(3)} is possible at ${temperatureC} Cel and ${pressurePa} Pa, got ${relativeHumidityRatio}`,
  );
}

/** Molar masses of water and of dry air, g/mol. */
const [waterMass, airMass] = [18.01528, 28.96442];

/**
 * Viscosity of a mixture of dry air and water vapour, Pa s.
 *
 * Wilke 1950 (Journal of Chemical Physics 18, 517): `sum x_i mu_i/(sum_j x_j phi_ij)`, `phi_ij = (1 + sqrt(mu_i/mu_j) (M_j/M_i)^(1/4))^2/sqrt(8 (1 + M_i/M_j))`. Vapour: `8.058e-6 + 4.0005e-8 t` Pa s (P. T. Tsilingiris 2008,
 * Energy Conversion and Management 49, 1098, from memory). Good within about 1 % (own judgement: the rule is made for simple gases), which is 0.7 % of a film. Without vapour it is that of dry air.
 * @param dryViscosityPaS viscosity of dry air at the same temperature.
 * @param vapourRatio {@link vapourShare}.
 */
export function humidViscosity(dryViscosityPaS: number, temperatureC: number, vapourRatio: number): number {
  const vapourPaS = 8.058e-6 + 4.0005e-8 * temperatureC;
  const phi = (mu: number, other: number, mass: number, otherMass: number) =>
    (1 + Math.sqrt(mu / other) * (otherMass / mass) ** 0.25) ** 2 / Math.sqrt(8 * (1 + mass / otherMass));
  const ofAir = phi(dryViscosityPaS, vapourPaS, airMass, waterMass);
  const ofWater = phi(vapourPaS, dryViscosityPaS, waterMass, airMass);
  const dryRatio = 1 - vapourRatio;
  return (
    (dryRatio * dryViscosityPaS) / (dryRatio + vapourRatio * ofAir) +
    (vapourRatio * vapourPaS) / (vapourRatio + dryRatio * ofWater)
  );
}

/** Density of the water vapour in the air, kg/m3. */
export function vapourDensity(air: AirCondition): number {
  return (
    (vapourShare(air) * air.pressurePa) / (waterVapourGasConstantJPerKgK * (air.temperatureC + zeroCelsiusK))
  );
}
