/** The air by what a thermometer, a barometer and a hygrometer tell. */
export interface AirCondition {
  /** Temperature, degrees Celsius, -80 to 300. */
  readonly temperatureC: number;
  /** Ambient pressure, Pa, 1e3 to 1e7. */
  readonly pressurePa: number;
  /** Relative humidity, 0 to 1; dry if left out. */
  readonly relativeHumidityRatio?: number;
}
