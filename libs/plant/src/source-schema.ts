import { z } from 'zod';
import { between, idSchema } from './schema-figures.js';
import { signalNames } from './signal-kinds.js';

const pointer = z.string().regex(/^(\/([^~/]|~[01])*)*$/, 'a JSON pointer (RFC 6901), e.g. /speed/value');

const timeSchema = z.union([
  z
    .strictObject({
      pointer: pointer.describe('JSON pointer (RFC 6901) to the time stamp'),
      format: z
        .enum(['rfc3339', 'epoch-s', 'epoch-ms', 'epoch-us', 'epoch-ns'])
        .describe('RFC 3339 text with offset, or a count since 1970-01-01T00:00:00Z'),
    })
    .describe('Where the time of the measurement stands'),
  z.literal('arrival').describe('The message carries no time: the time of arrival is taken, and marked so'),
]);

/** Where one signal stands in a message, and how it is written there. */
export const signalMappingSchema = z.strictObject({
  signal: z.enum(signalNames as readonly [(typeof signalNames)[number], ...(typeof signalNames)[number][]]),
  pointer: pointer
    .optional()
    .describe('Where the value stands in a JSON payload; left out when the payload is the bare value'),
  time: timeSchema.optional().describe('Where the time stands, if not as told for the whole source'),
  winder: idSchema.optional().describe('Winder, where the topic does not capture it'),
  station: idSchema.optional().describe('Station, where the topic does not capture it'),
  end: z
    .enum(['tending', 'drive', 'both'])
    .default('both')
    .describe(
      'End of the nip: tending side, drive side, or not told apart. Left out where the topic captures {end}',
    ),
  unit: z
    .string()
    .default('')
    .describe('UCUM code of the unit in the payload; left out: the SI unit of the signal, N for a total'),
  factor: z
    .number()
    .refine((f) => f !== 0 && Number.isFinite(f), 'a factor other than 0')
    .default(1)
    .describe('Linear scale: value = factor x number + offset, before the unit is converted'),
  offset: z.number().default(0).describe('Added after the factor, in the unit of the payload'),
  sign: z
    .union([z.literal(1), z.literal(-1)])
    .default(1)
    .describe('-1 turns the sign round, e.g. an accelerometer mounted the other way'),
  total: z
    .boolean()
    .default(false)
    .describe('true: a total over the web width at the station; it is divided by that width'),
  plausible: z
    .strictObject({
      min: z.number().describe('Lowest plausible value, SI unit'),
      max: z.number().describe('Highest plausible value, SI unit'),
    })
    .optional()
    .describe('Range, in the SI unit of the signal, outside which a reading is not used'),
  expectedPeriodS: between(
    0.001,
    86400,
    's',
    'How often a reading is expected. Left out: report by exception, never stale',
  ).optional(),
  uncertainty: z.number().min(0).default(0).describe('Standard uncertainty in the SI unit of the signal'),
  uncertaintyRatio: between(
    0,
    1,
    '1',
    'Standard uncertainty as a share of the value; added in quadrature',
  ).default(0),
});

/** A topic and the signals that its messages carry. */
export const sourceSchema = z.strictObject({
  topic: z
    .string()
    .min(1)
    .max(200)
    .describe(
      'MQTT topic; {winder}, {station}, {end} (tending or drive) and {any} each capture one level, a last level # takes all that follows',
    ),
  payload: z.enum(['json', 'plain']).default('json').describe('plain: the payload is the bare value'),
  time: timeSchema.default('arrival'),
  sequence: pointer
    .optional()
    .describe('Where a number stands that counts up by one a message; gaps are recorded as lost messages'),
  winder: idSchema.optional().describe('Winder of all its signals, where the topic does not capture it'),
  station: idSchema.optional().describe('Station of all its signals, where the topic does not capture it'),
  signals: z.array(signalMappingSchema).min(1).describe('The signals that a message carries'),
});

export type Source = z.infer<typeof sourceSchema>;
export type SignalMapping = z.infer<typeof signalMappingSchema>;
export type SourceTime = z.infer<typeof timeSchema>;
