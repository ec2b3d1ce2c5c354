/** Standard atmosphere, Pa, exact. Source: 10th CGPM, 1954, resolution 4; sea-level pressure of ISO 2533:1975. */
export const standardAtmospherePa = 101_325;

/** Ice point, K: 0 degrees Celsius, exact. Source: SI Brochure, 9th edition, 2.3.1. */
export const zeroCelsiusK = 273.15;

/** Specific gas constant of dry air, J/(kg K). Source: ISO 2533:1975 and U.S. Standard Atmosphere 1976 (8.314 32 J/(mol K) / 28.964 42 g/mol). */
export const dryAirGasConstantJPerKgK = 287.052_87;

/** Specific gas constant of water vapour, J/(kg K): 8.314 462 618 J/(mol K) (SI, 2019) / 18.015 28 g/mol. */
export const waterVapourGasConstantJPerKgK = 461.523;
