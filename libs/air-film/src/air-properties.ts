import { dryAirGasConstantJPerKgK, standardAtmospherePa, zeroCelsiusK } from '@edge-margin/units';
import type { AirCondition } from './air-condition.js';
import { humidViscosity, vapourDensity, vapourShare } from './humid-air.js';

/** What the film equations need to know of the air around the winder. */
export interface AirProperties {
  /** Dynamic viscosity, Pa s, > 0. */
  readonly viscosityPaS: number;
  /** Ambient pressure, Pa, > 0. */
  readonly pressurePa: number;
  /** Mean free path of the molecules at that pressure, m, > 0. */
  readonly meanFreePathM: number;
}

/**
 * Dynamic viscosity of dry air, Pa s.
 *
 * `mu = 1.458e-6 T^1.5 / (T + 110.4)`, T in kelvin: Sutherland's formula with the constants of the U.S. Standard Atmosphere 1976
 * (quoted from memory). Published gas-supplier data lie 0.3 to 0.4 % higher; vapour: see `humidViscosity`.
 * Independent of pressure up to several bar.
 * @param temperatureC degrees Celsius, -80 to 300.
 */
export function airViscosity(temperatureC: number): number {
  const temperatureK = temperatureC + zeroCelsiusK;
  return (1.458e-6 * temperatureK ** 1.5) / (temperatureK + 110.4);
}

/** Density of the air, kg/m3, as an ideal gas: `p/(Rs T)`, with vapour `(p - pv)/(Rs T) + pv/(Rv T)`: at 25 C and 60 % 0.7 % lighter than dry. */
export function airDensity(air: AirCondition): number {
  const dry = air.pressurePa / (dryAirGasConstantJPerKgK * (air.temperatureC + zeroCelsiusK));
  return isDry(air) ? dry : dry * (1 - vapourShare(air)) + vapourDensity(air);
}

/**
 * Mean free path of air, m: `sqrt(pi/8) (mu/u) / sqrt(rho p)`, u = 0.4987445.
 * Source: Jennings 1988, Journal of Aerosol Science 19, 159, who gives it for moist air too. A molecular-dynamics study of 2024 argues for about half of it, but slip
 * conditions are calibrated on this classical value.
 */
export function airMeanFreePath(air: AirCondition): number {
  return (
    (Math.sqrt(Math.PI / 8) * (viscosityOf(air) / 0.4987445)) / Math.sqrt(airDensity(air) * air.pressurePa)
  );
}

/** Viscosity, pressure and mean free path of the air at a temperature, a pressure and a humidity. */
export function airProperties(air: AirCondition): AirProperties {
  return {
    viscosityPaS: viscosityOf(air),
    pressurePa: air.pressurePa,
    meanFreePathM: airMeanFreePath(air),
  };
}

function viscosityOf(air: AirCondition): number {
  const dryPaS = airViscosity(air.temperatureC);
  return isDry(air) ? dryPaS : humidViscosity(dryPaS, air.temperatureC, vapourShare(air));
}

function isDry({ relativeHumidityRatio = 0 }: AirCondition): boolean {
  return relativeHumidityRatio === 0;
}

/** Dry air at 23 C and one standard atmosphere: the condition in which paper and film are tested (ISO 187, ISO 291). */
export const standardAir: AirProperties = airProperties({
  temperatureC: 23,
  pressurePa: standardAtmospherePa,
});
