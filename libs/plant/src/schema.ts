import { z } from 'zod';
import { airSchema } from './air-schema.js';
import { gradeSchema } from './grade-schema.js';
import { limitsSchema } from './limits-schema.js';
import { idSchema, nameSchema } from './schema-figures.js';
import { sourceSchema } from './source-schema.js';
import { winderSchema } from './winder-schema.js';

/**
 * The plant file: one YAML document that describes the site's winders, their grades, where each signal comes from and the limits.
 * SI throughout; the unit stands in the key. This schema is the only description: types, JSON Schema and error messages come from it.
 */
export const plantSchema = z.strictObject({
  plantFileVersion: z.literal(1),
  site: z.strictObject({ id: idSchema, name: nameSchema, air: airSchema.optional() }),
  display: z.enum(['metric', 'us']).default('metric').describe('Units on the pages'),
  areas: z
    .array(
      z.strictObject({
        id: idSchema,
        name: nameSchema,
        lines: z
          .array(z.strictObject({ id: idSchema, name: nameSchema, winders: z.array(winderSchema).min(1) }))
          .min(1),
      }),
    )
    .min(1),
  grades: z.array(gradeSchema).min(1),
  sources: z.array(sourceSchema).min(1),
  limits: limitsSchema.prefault({}),
});

export type PlantFile = z.infer<typeof plantSchema>;
