import { nearestWord } from '@edge-margin/units';
import type { z } from 'zod';
import { expectationAt, keysAt, schemasAt } from './expectation.js';
import { type JsonSchema, plantJsonSchema } from './json-schema.js';
import { type Finding, type Path, error, valueText } from './problem.js';
import { plantSchema } from './schema.js';
import { unitHint } from './unit-hint.js';

type Issue = z.core.$ZodIssue;

/** Everything in which the content of a file departs from the schema. */
export function schemaFindings(content: unknown): readonly Finding[] {
  const result = plantSchema.safeParse(content);
  if (result.success) return [];
  const schema = plantJsonSchema();
  return result.error.issues.flatMap((issue) => findingsOf(issue, [], content, schema));
}

function findingsOf(issue: Issue, around: Path, content: unknown, schema: JsonSchema): readonly Finding[] {
  const path = [...around, ...issue.path.map((step) => (typeof step === 'number' ? step : String(step)))];
  const found = valueAt(content, path);
  if (issue.code === 'invalid_union') {
    const meant = formMeant(issue.errors);
    if (meant !== undefined) return meant.flatMap((inner) => findingsOf(inner, path, content, schema));
  }
  if (issue.code === 'unrecognized_keys')
    return issue.keys.map((key) => unknownKey([...path, key], keysAt(schema, path)));
  return [error(path, valueText(found), expected(issue, path, found, schema))];
}

/** Of several forms that a place may take, the faults of the one that was meant: the one whose kind fits. */
function formMeant(forms: readonly (readonly Issue[])[]): readonly Issue[] | undefined {
  const wrongKind = (issue: Issue) =>
    issue.path.length === 0 && (issue.code === 'invalid_type' || issue.code === 'invalid_value');
  return forms.find((issues) => !issues.some(wrongKind));
}

function unknownKey(path: Path, known: readonly string[]): Finding {
  const key = String(path.at(-1));
  const nearest = nearestWord(key, known);
  const expected =
    nearest === undefined ? `one of the keys ${known.join(', ')}` : `a known key; the nearest is ${nearest}`;
  return { ...error(path, `the key ${valueText(key)}`, expected), at: 'key' };
}

function expected(issue: Issue, path: Path, found: unknown, schema: JsonSchema): string {
  const words = expectationAt(schema, path);
  const told = issue.code === 'custom' || (issue.code === 'invalid_format' && issue.format === 'regex');
  const own = told ? issue.message : words;
  const allowed = schemasAt(schema, path).flatMap(
    (one) => one.enum ?? (one.const === undefined ? [] : [one.const]),
  );
  const nearest = typeof found === 'string' ? nearestWord(found, allowed.map(String)) : undefined;
  const range = schemasAt(schema, path).find((one) => one.type === 'number') ?? {};
  const hint = issue.code === 'too_small' || issue.code === 'too_big' ? unitHint(path, found, range) : '';
  return `${own}${nearest === undefined ? '' : `; the nearest is ${nearest}`}${hint}`;
}

function valueAt(content: unknown, path: Path): unknown {
  return path.reduce<unknown>(
    (here, step) =>
      typeof here === 'object' && here !== null && Object.hasOwn(here, step)
        ? (here as Record<string | number, unknown>)[step]
        : undefined,
    content,
  );
}
