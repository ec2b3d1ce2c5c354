import { z } from 'zod';
import { airSchema } from './air-schema.js';
import { nipSchema } from './nip-schema.js';
import { between, idSchema, nameSchema } from './schema-figures.js';

/** A winding position. */
export const stationSchema = z.strictObject({
  id: idSchema,
  name: nameSchema,
  coreDiameterM: between(0.01, 2, 'm', 'Outside diameter of the core'),
  diameterFrom: z
    .enum(['gauge', 'rotation', 'length'])
    .default('gauge')
    .describe(
      'What the diameter is taken from: signal diameter; speed and coreRotation; woundLength or speed, with caliper',
    ),
  rolls: z
    .array(z.strictObject({ id: idSchema, widthM: between(0.002, 15, 'm', 'Width of this roll') }))
    .min(1)
    .describe('The rolls that lie side by side at this station, tending side first'),
  nip: nipSchema.nullable().describe('The nip where the web arrives, or null where none touches the roll'),
  defaultGrade: idSchema.describe('Grade assumed until the signal grade tells'),
});

/** Rated limits of a machine. */
const machineLimitsSchema = z.strictObject({
  speedMPerS: z.strictObject({
    min: between(0, 70, 'm/s', 'Lowest winding speed').default(0),
    max: between(0.01, 70, 'm/s', 'Highest speed'),
  }),
  tensionNPerM: z.strictObject({
    min: between(0, 1e5, 'N/m', 'Lowest tension'),
    max: between(0.1, 1e5, 'N/m', 'Highest tension'),
  }),
  nipLoadNPerM: z
    .strictObject({
      min: between(0, 1e5, 'N/m', 'Lowest nip load'),
      max: between(0.1, 1e5, 'N/m', 'Highest nip load'),
    })
    .optional(),
  diameterM: z.strictObject({ max: between(0.02, 5, 'm', 'Largest roll') }),
});

/** A winder with its stations. */
export const winderSchema = z.strictObject({
  id: idSchema,
  name: nameSchema,
  simulated: z
    .boolean()
    .default(false)
    .describe('true: the readings come from a simulation, and every page says so'),
  limits: machineLimitsSchema,
  air: airSchema.optional(),
  stations: z.array(stationSchema).min(1),
});

export type Station = z.infer<typeof stationSchema>;
export type Winder = z.infer<typeof winderSchema>;
