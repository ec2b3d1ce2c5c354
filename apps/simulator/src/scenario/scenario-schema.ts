import { z } from 'zod';
import { between, idField } from './fields.js';
import { peopleSchema } from '../people/people-schema.js';
import { gradeSchema } from './grade-schema.js';
import type { programmeSchema } from './programme-schema.js';
import { winderSchema } from './winder-schema.js';

const topic = (what: string, given: string) =>
  z.string().min(1).max(200).describe(`${what}; {winder}, {station} and {end} are filled in`).default(given);

/**
 * A scenario: winders, what their webs really are, what goes wrong, and what is measured. One YAML document; SI throughout,
 * the unit stands in the key. Types, JSON Schema and error messages come from this description.
 */
export const scenarioSchema = z.strictObject({
  scenarioVersion: z.literal(1),
  name: z.string().min(1).max(120),
  samplePeriodS: between(0.02, 10, 's', 'Time between two messages of a source').default(0.2),
  timeStepS: between(1e-5, 1e-3, 's', 'Time step of the nip roller').default(1e-3),
  air: z
    .strictObject({
      viscosityPaS: between(1e-6, 1e-4, 'Pa s', 'Viscosity'),
      ambientPa: between(3e4, 1.2e5, 'Pa', 'Ambient pressure'),
      meanFreePathM: between(1e-8, 1e-6, 'm', 'Mean free path'),
    })
    .prefault({ viscosityPaS: 1.82e-5, ambientPa: 101325, meanFreePathM: 68e-9 }),
  topics: z
    .strictObject({
      drive: topic('Topic of the drive message', 'demo/lakeside/{winder}/{station}/drive'),
      nip: topic('Topic of a nip end', 'demo/lakeside/{winder}/{station}/nip/{end}'),
      setEnd: topic('Topic of the set-end diameter', 'demo/lakeside/{winder}/{station}/set-end'),
      wave: topic('Topic of the wave forms of a nip end', 'demo/lakeside/{winder}/{station}/wave/{end}'),
    })
    .prefault({}),
  truth: z
    .strictObject({
      everyS: between(0.02, 3600, 's', 'Time between two records of the true state').default(1),
      bandM: between(1e-4, 0.5, 'm', 'Width of a band of radius for the edges').default(0.005),
      roughEdgeM: between(1e-6, 0.05, 'm', 'A band is rough above this rms of neighbouring wraps').default(
        2e-4,
      ),
      freeWraps: z
        .number()
        .int()
        .min(0)
        .max(10000)
        .describe('The boundary is passed when more wraps than this are free to move')
        .default(3),
      lastingS: between(0, 600, 's', 'A stay beyond the boundary counts as lasting after this time').default(
        2,
      ),
      edgesEveryWraps: z
        .number()
        .int()
        .min(0)
        .max(10000)
        .describe('Every how many wraps the truth tells both edges of every roll; 0: never')
        .default(0),
    })
    .prefault({}),
  people: peopleSchema.optional(),
  grades: z.record(idField, gradeSchema),
  winders: z.array(winderSchema).min(1).max(50),
});

export type Scenario = z.infer<typeof scenarioSchema>;
export type Winder = Scenario['winders'][number];
export type Line = NonNullable<Winder['line']>;
export type Slitter = NonNullable<Line['slitter']>;
export type Unwind = NonNullable<Line['unwind']>;
export type Idler = Line['idlers'][number];
export type Wave = NonNullable<Nip['wave']>;
export type Programme = z.infer<typeof programmeSchema>;
export type Station = Winder['stations'][number];
export type Nip = NonNullable<Station['nip']>;
export type Excitation = Nip['excitation'][number];
export type Grade = Scenario['grades'][string];
export type Action = Station['operator'][number];
export type Instrument = Station['instruments']['speed'];
export type Gateway = Station['gateways']['drive'];
export type Air = Scenario['air'];
