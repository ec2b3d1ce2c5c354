import type { AirCondition } from '@edge-margin/air-film';
import type { Air } from '@edge-margin/plant';
import { type Quantity, zeroCelsiusK } from '@edge-margin/units';
import { signalKey } from './cell.js';
import { inputQuantity, type Inputs } from './inputs.js';

/** The air around a winder, and how well its viscosity is known. */
export interface AirAround {
  readonly condition: AirCondition;
  /** Relative standard uncertainty of the viscosity. */
  readonly viscosityRatio: number;
}

/** What the signals tell of the air; left out where the plant file maps none. */
export interface AirSignals {
  readonly temperatureK?: Quantity;
  readonly pressurePa?: Quantity;
  readonly humidityRatio?: Quantity;
}

/** The signals of the air that the plant file maps for a station. */
export function airSignals(inputs: Inputs): AirSignals {
  const told = (signal: 'airTemperature' | 'airPressure' | 'airHumidity'): Quantity | undefined =>
    inputs.mapped.has(signalKey(signal, 'both')) ? inputQuantity(inputs, signal) : undefined;
  const [temperatureK, pressurePa, humidityRatio] = [
    told('airTemperature'),
    told('airPressure'),
    told('airHumidity'),
  ];
  return {
    ...(temperatureK === undefined ? {} : { temperatureK }),
    ...(pressurePa === undefined ? {} : { pressurePa }),
    ...(humidityRatio === undefined ? {} : { humidityRatio }),
  };
}

/** The test climate of paper and film (ISO 187, ISO 291), dry; a mill is rarely further off than 10 C. */
const usual: Air = { temperatureC: 23, pressurePa: 101_325, relativeHumidityRatio: 0 };
/** Standard uncertainty of a temperature that a lost signal leaves, C: own assumption. */
const temperatureUncertaintyWhenLostC = 5;
/** d ln(viscosity)/d ln(absolute temperature) near room temperature, from Sutherland's formula. */
const viscosityToTemperature = 0.77;

/**
 * The air around a winder: what signals tell, where they are silent what the plant file says, and where it says nothing the usual.
 * Air matters little (10 C are 1.8 % of a film), so that a lost thermometer widens the uncertainty and blinds nobody.
 * @returns undefined where neither signals nor the plant file tell anything: standard air.
 */
export function airAround(told: Air | null, signals: AirSignals): AirAround | undefined {
  const { humidityRatio, pressurePa, temperatureK } = signals;
  if (told === null && humidityRatio === undefined && pressurePa === undefined && temperatureK === undefined)
    return undefined;
  const otherwise = told ?? usual;
  const temperatureC = within(
    valueOr(temperatureK, zeroCelsiusK + otherwise.temperatureC) - zeroCelsiusK,
    -40,
    100,
  );
  const condition: AirCondition = {
    temperatureC,
    pressurePa: within(valueOr(pressurePa, otherwise.pressurePa), 4e4, 1.2e5),
    relativeHumidityRatio: within(valueOr(humidityRatio, otherwise.relativeHumidityRatio), 0, 1),
  };
  const uncertaintyK = temperatureUncertainty(temperatureK);
  return {
    condition,
    viscosityRatio: (viscosityToTemperature * uncertaintyK) / (temperatureC + zeroCelsiusK),
  };
}

function temperatureUncertainty(temperatureK: Quantity | undefined): number {
  if (temperatureK === undefined) return 0;
  return temperatureK.kind === 'known' ? temperatureK.uncertainty : temperatureUncertaintyWhenLostC;
}

function valueOr(quantity: Quantity | undefined, otherwise: number): number {
  return quantity?.kind === 'known' ? quantity.value : otherwise;
}

/** A sensor that shows what no mill has is taken at the end of the range. */
function within(value: number, low: number, high: number): number {
  return Math.min(Math.max(value, low), high);
}
