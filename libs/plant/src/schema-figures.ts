import { z } from 'zod';
import { figure } from './figure.js';

/** An id; see its description. */
export const idSchema = z
  .string()
  .regex(
    /^[a-z0-9]([a-z0-9-]{0,30}[a-z0-9])?$/,
    'an id of 1 to 32 lower-case letters, digits and inner hyphens',
  )
  .describe(
    'Id: 1 to 32 lower-case letters, digits and inner hyphens; it becomes a topic level, a series tag and a part of addresses',
  );

/** Name of something for people. */
export const nameSchema = z.string().min(1).max(80).describe('Name for people');

/** A number in an SI unit within a range; what is outside is refused with the end that it passes. */
export const between = (low: number, high: number, unit: string, what: string) => {
  const suffix = unit === '1' ? '' : ` ${unit}`;
  return z
    .number()
    .min(low, `at least ${figure(low)}${suffix}`)
    .max(high, `at most ${figure(high)}${suffix}`)
    .describe(`${what} (${figure(low)} to ${figure(high)}${suffix})`);
};

/** A share, 0 to 1. */
export const ratio = (what: string) => between(0, 1, '1', what);

/** A measured or estimated property with its relative standard uncertainty. */
export const estimated = (value: z.ZodNumber) =>
  z.union([
    value,
    z.strictObject({
      value,
      uncertaintyRatio: between(0, 2, '1', 'Relative standard uncertainty'),
    }),
  ]);
