import type { JsonSchema } from './json-schema.js';
import type { Path } from './problem.js';

/** The parts of the schema that describe one place in the file: several where the place may take several forms. */
export function schemasAt(schema: JsonSchema, path: Path): readonly JsonSchema[] {
  const forms = (one: JsonSchema): readonly JsonSchema[] => one.anyOf?.flatMap(forms) ?? [one];
  const step = (here: readonly JsonSchema[], key: string | number) =>
    here
      .map((one) => (typeof key === 'number' ? one.items : own(one.properties, key)))
      .flatMap((child) => (child === undefined ? [] : forms(child)));
  return path.reduce(step, forms(schema));
}

/** Keys that a place may hold. */
export function keysAt(schema: JsonSchema, path: Path): readonly string[] {
  return schemasAt(schema, path).flatMap((one) => Object.keys(one.properties ?? {}));
}

/** What is expected at a place, in words with unit and range. */
export function expectationAt(schema: JsonSchema, path: Path): string {
  const words = schemasAt(schema, path).map(inWords);
  return [...new Set(words)].join(', or ');
}

function inWords(schema: JsonSchema): string {
  const form = formInWords(schema);
  return schema.description === undefined ? form : `${form}: ${schema.description}`;
}

function formInWords(schema: JsonSchema): string {
  if (schema.const !== undefined) return String(schema.const);
  if (schema.enum !== undefined) return `one of ${schema.enum.join(', ')}`;
  if (schema.format === 'date') return 'a date such as 2026-11-02';
  switch (schema.type) {
    case 'number':
      return 'a number';
    case 'integer':
      return `a whole number from ${schema.minimum ?? 0}`;
    case 'boolean':
      return 'true or false';
    case 'array':
      return 'a list with at least one entry';
    case 'object':
      return `a map with ${Object.keys(schema.properties ?? {}).join(', ')}`;
    case 'null':
      return 'null';
    default:
      return 'text';
  }
}

const own = (properties: JsonSchema['properties'], key: string): JsonSchema | undefined =>
  properties !== undefined && Object.hasOwn(properties, key) ? properties[key] : undefined;
