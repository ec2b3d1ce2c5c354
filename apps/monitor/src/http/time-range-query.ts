import { z } from 'zod';

const whole = (most: number) =>
  z
    .string()
    .regex(/^\d{1,15}$/, 'a whole number')
    .transform(Number)
    .pipe(z.number().max(most, `at most ${most}`));

/** A query for records by time, both ends included, newest first. */
export const timeRangeQuery = z.strictObject({
  from: whole(Number.MAX_SAFE_INTEGER).default(0),
  to: whole(Number.MAX_SAFE_INTEGER).default(Number.MAX_SAFE_INTEGER),
  limit: whole(1000).default(200),
});
