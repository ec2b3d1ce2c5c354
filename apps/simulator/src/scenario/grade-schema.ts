import { z } from 'zod';
import { between, ratio } from './fields.js';

/** What the web really is. The service under test is never told these values; it has its own plant file. */
export const gradeSchema = z.strictObject({
  name: z.string().min(1).max(80).describe('Text that the drive message carries as the grade'),
  caliperM: between(1e-6, 5e-3, 'm', 'Caliper of one web'),
  modulusPa: between(1e6, 5e11, 'Pa', 'Elastic modulus in machine direction'),
  poissonRatio: ratio(0, 0.5, 'Width lost per stretch').default(0.3),
  friction: ratio(0.01, 2, 'Friction web on web, web on roller'),
  permeanceMPerPaS: between(0, 1e-1, 'm/(Pa s)', 'Air permeance through the web').default(0),
  peaks: z
    .strictObject({
      reachM: between(1e-9, 1e-3, 'm', 'Gap at which the peaks of two faces begin to touch'),
      pressurePa: between(10, 1e9, 'Pa', 'Pressure that they would carry at no gap'),
      exponent: ratio(1, 6, 'Exponent n of p = p0 (1 - gap/reach)^n').default(2),
    })
    .describe('Peaks of the two faces that meet in the roll'),
  film: z
    .strictObject({
      bias: z
        .strictObject({
          median: ratio(0.25, 4, 'Median of real film over theoretical film'),
          spread: ratio(0, 0.7, 'Standard deviation of its logarithm; drawn once a run'),
        })
        .prefault({ median: 1, spread: 0 }),
      noise: z
        .strictObject({
          rms: ratio(0, 0.3, 'Standard deviation of the film'),
          timeS: between(0.01, 1e5, 's', 'Correlation time'),
        })
        .prefault({ rms: 0, timeS: 1 }),
      speedExponent: ratio(-0.5, 0.5, 'Added to the exponent of speed').default(0),
      loadExponent: ratio(-0.5, 0.5, 'Added to the exponent of nip load').default(0),
      atSpeedMPerS: between(0.1, 70, 'm/s', 'Speed at which the added exponent changes nothing').default(10),
      atLoadNPerM: between(1, 1e5, 'N/m', 'Nip load at which the added exponent changes nothing').default(
        1000,
      ),
    })
    .describe('How the real film differs from the theory')
    .prefault({}),
});
