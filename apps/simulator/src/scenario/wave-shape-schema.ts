import { z } from 'zod';
import { between, ratio } from './fields.js';

/** How something that turns moves what it touches, once per turn. */
export const turningSchema = {
  phaseTurns: ratio(-1, 1, 'Phase, in turns').default(0),
  shape: z
    .enum(['wave', 'pulse'])
    .describe('wave: one cosine a turn; pulse: a short mark once a turn')
    .default('wave'),
  pulseTurns: ratio(0.005, 0.5, 'Length of the pulse, share of a turn').default(0.05),
};

/** A turning roller that moves the web sideways once per turn. */
export const idlerSchema = z.strictObject({
  name: z.string().min(1).max(40).describe('Name in the truth').default('idler'),
  diameterM: between(0.02, 5, 'm', 'Diameter'),
  axialM: between(0, 0.02, 'm', 'Amplitude of the sideways motion that it gives the web'),
  slipRatio: ratio(-0.2, 0.2, 'Share by which it turns slower than the web').default(0),
  ...turningSchema,
});

/** A moment: once in a run, or once a set at a diameter of the winding roll. */
export const momentSchema = z.union([
  z.strictObject({ atS: between(0, 1e9, 's', 'Time since the start of the run') }),
  z.strictObject({
    diameterM: between(0.01, 6, 'm', 'Diameter of the winding roll (the largest of the set)'),
  }),
]);
