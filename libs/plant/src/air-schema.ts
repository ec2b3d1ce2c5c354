import { z } from 'zod';
import { between, ratio } from './schema-figures.js';

/** The air around the winders, for a site or for one winder; what is left out is 23 C, one atmosphere, dry. */
export const airSchema = z
  .strictObject({
    temperatureC: between(-40, 100, 'Cel', 'Temperature of the air at the winder').default(23),
    pressurePa: between(
      4e4,
      1.2e5,
      'Pa',
      'Ambient pressure at the place, not reduced to sea level; some 1200 Pa less for each 100 m of height',
    ).default(101_325),
    relativeHumidityRatio: ratio('Relative humidity').default(0),
  })
  .describe('The air around the winder; what signals tell goes before it');

export type Air = z.infer<typeof airSchema>;
