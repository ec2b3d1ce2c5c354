import { z } from 'zod';

/** A number from `low` to `high` in the unit that the key's name carries. */
export function between(low: number, high: number, unit: string, what: string) {
  return z
    .number(`a number (${unit}) is needed`)
    .min(low, `at least ${low} ${unit}`)
    .max(high, `at most ${high} ${unit}`)
    .describe(`${what} (${unit}, ${low} to ${high})`);
}

/** A dimensionless number. */
export function ratio(low: number, high: number, what: string) {
  return between(low, high, '1', what);
}

/** A wandering disturbance: normal, mean 0, first-order correlation. */
export function wandering(unit: string, high: number, what: string) {
  return z
    .strictObject({
      rms: between(0, high, unit, `Standard deviation of ${what}`),
      timeS: between(0.01, 1e5, 's', 'Correlation time'),
    })
    .describe(`Wandering of ${what}: normal, mean 0, first-order correlation`);
}

export const idField = z
  .string()
  .regex(/^[a-z0-9]([a-z0-9-]{0,30}[a-z0-9])?$/, '1 to 32 lower-case letters, digits and inner hyphens')
  .describe('Id: 1 to 32 lower-case letters, digits and inner hyphens; it becomes a topic level');

/** A stretch of simulated time. */
export const span = z.strictObject({
  fromS: between(0, 1e9, 's', 'Begin, counted from the start of the run'),
  forS: between(0.001, 1e9, 's', 'Length'),
});
