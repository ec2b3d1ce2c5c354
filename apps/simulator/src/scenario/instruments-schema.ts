import { z } from 'zod';
import { between, ratio, span } from './fields.js';

/** One instrument's faults, in the unit in which its value is published. */
export const instrumentSchema = z.strictObject({
  noise: z.number().min(0).describe('Standard deviation of white noise').default(0),
  quantum: z.number().min(0).describe('Smallest step; 0: none').default(0),
  lagS: between(0, 600, 's', 'First-order lag').default(0),
  gain: z.number().describe('Factor; -1: mounted the other way round').default(1),
  offset: z.number().describe('Added').default(0),
  driftPerHour: z.number().describe('Added per hour of running').default(0),
  range: z
    .strictObject({ low: z.number(), high: z.number() })
    .describe('Saturates here')
    .prefault({ low: -1e12, high: 1e12 }),
  stuck: z.array(span).describe('Holds its value').default([]),
  missing: z.array(span).describe('Gives no value: left out of the message').default([]),
  missingChance: ratio(0, 1, 'Chance that a single value is left out').default(0),
  jumps: z
    .array(z.strictObject({ atS: between(0, 1e9, 's', 'When'), add: z.number().describe('How much') }))
    .max(50)
    .describe('Bias that comes suddenly and stays')
    .default([]),
  scaled: z
    .array(
      z.strictObject({
        ...span.shape,
        factor: z.number().describe('Factor; -1: sign turned; 0.0167: m/s told as m/min'),
      }),
    )
    .max(50)
    .describe('Wrong unit or wrong sign for a while')
    .default([]),
  byException: z
    .strictObject({
      deadband: z
        .number()
        .min(0)
        .describe('Told only when it differs by more than this from the value told last'),
      everyS: between(0.1, 1e5, 's', 'But at least so often'),
    })
    .describe('Report by exception; left out: every sample is told')
    .optional(),
});

/** What carries the messages of one instrument group to the broker. */
export const gatewaySchema = z.strictObject({
  clockOffsetMs: z.number().int().min(-1e10).max(1e10).describe('Its clock minus true time, ms').default(0),
  clockDriftPpm: between(-1e4, 1e4, 'ppm', 'Its clock gains this much').default(0),
  delayMs: between(0, 1e6, 'ms', 'Least time from measuring to arrival').default(5),
  jitterMs: between(0, 1e6, 'ms', 'Largest further time, uniform').default(0),
  lossChance: ratio(0, 1, 'Chance that a message is lost').default(0),
  duplicateChance: ratio(0, 1, 'Chance that a message is sent twice').default(0),
  silent: z.array(span).describe('Everything of this time is lost').default([]),
  heldBack: z.array(span).describe('Everything of this time comes in one burst at its end').default([]),
});

export const instrumentsSchema = z.strictObject({
  speed: instrumentSchema.describe('m/min').prefault({}),
  diameter: instrumentSchema.describe('mm').prefault({}),
  tension: instrumentSchema.describe('N, over the web width').prefault({}),
  load: instrumentSchema.describe('kN/m, each end').prefault({}),
  peakAcceleration: instrumentSchema.describe('m/s2 towards the roll, each end').prefault({}),
  swing: instrumentSchema.describe('%, each end').prefault({}),
  turns: instrumentSchema
    .describe('Turns of the core since the roll was begun (encoder); left out: no encoder')
    .optional(),
});
