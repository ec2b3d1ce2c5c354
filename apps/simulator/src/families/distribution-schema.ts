import { z } from 'zod';

const finite = (what: string) => z.number('a number is needed').describe(what);
const ends = (what: string) => z.tuple([finite('Lowest'), finite('Highest')]).describe(what);
const cut = { low: finite('Never below').optional(), high: finite('Never above').optional() };
const spread = z.number('a number is needed').min(0, 'at least 0');

/** One way to draw a value that a family leaves open. */
export const distributionSchema = z.union([
  z.strictObject({ uniform: ends('Evenly between two numbers') }),
  z.strictObject({ logUniform: ends('Evenly in the logarithm between two numbers above 0') }),
  z.strictObject({ wholeNumber: ends('A whole number, ends included, all alike') }),
  z.strictObject({
    normal: z.strictObject({ mean: finite('Mean'), spread: spread.describe('Standard deviation'), ...cut }),
  }),
  z.strictObject({
    lognormal: z.strictObject({
      median: finite('Median, above 0'),
      spread: spread.describe('Standard deviation of the natural logarithm'),
      ...cut,
    }),
  }),
  z.strictObject({
    choice: z
      .array(z.unknown())
      .min(1)
      .describe('One of these; each may be a whole section with values of its own to draw'),
    weights: z
      .array(z.number().min(0, 'at least 0'))
      .describe('How often each is taken; left out: all alike')
      .optional(),
  }),
  z.strictObject({
    drawn: z.string().describe('Name of a value under draws: the same wherever it is named'),
    times: finite('Factor').default(1),
  }),
]);

export type Distribution = z.infer<typeof distributionSchema>;

/** Words that make a map a distribution; no id of a scenario may be one of them. */
export const DISTRIBUTION_WORDS: readonly string[] = [
  'uniform',
  'logUniform',
  'wholeNumber',
  'normal',
  'lognormal',
  'choice',
  'drawn',
];
