import { z } from 'zod';

/** An address with one of these schemes and no credentials in it. */
export const urlWith = (schemes: readonly string[], example: string) =>
  z
    .string()
    .refine(
      (text) =>
        URL.canParse(text) &&
        schemes.includes(new URL(text).protocol) &&
        new URL(text).username === '' &&
        new URL(text).password === '',
      `an address like ${example}, without user name and password in it`,
    );

/** A whole number within bounds, as digits; what is wrong with another is said with the unit. */
export const wholeNumber = (least: number, most: number, unit: string) => {
  const right = `a whole number of ${unit} from ${least} to ${most}`;
  return z
    .string()
    .regex(/^\d{1,6}$/, right)
    .transform(Number)
    .refine((count) => count >= least && count <= most, right);
};

/** The path of a file that `readSecret` or `readText` will read. */
export const pathOf = (what: string) => z.string().min(1, `the path of ${what}`);
