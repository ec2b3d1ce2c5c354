import { type z } from 'zod';
import { ProblemException } from './problem.js';

/** The value as the schema has it, or a 400 that names each field, what was given and what is right. */
export function parseWith<S extends z.ZodType>(schema: S, value: unknown): z.output<S> {
  const parsed = schema.safeParse(value);
  if (parsed.success) return parsed.data;
  const errors = parsed.error.issues.map((issue) => ({
    pointer: `/${issue.path.map((step) => String(step).replaceAll('~', '~0').replaceAll('/', '~1')).join('/')}`,
    detail: issue.message,
  }));
  throw new ProblemException(
    400,
    errors.map((error) => `${error.pointer}: ${error.detail}`).join('; '),
    errors,
  );
}
