import { readFileSync } from 'node:fs';

/** JSON Schemas of the API's bodies, generated at build time from the types of the contract. */
const schemasFile = new URL('../../dist/api-schemas.json', import.meta.url);

export type JsonSchema = Readonly<Record<string, unknown>>;
export type Schemas = Readonly<Record<string, JsonSchema>>;

/** Every type of the contract, with references as they stand in a description's components. */
export function apiSchemas(): Schemas {
  const text = readFileSync(schemasFile, 'utf8').replaceAll('#/definitions/', '#/components/schemas/');
  return (JSON.parse(text) as { readonly definitions: Schemas }).definitions;
}

/** The schemas that a part of a document refers to, and what these refer to. */
export function schemasUsedBy(part: unknown, all: Schemas): Schemas {
  const used = new Map<string, JsonSchema>();
  const visit = (value: unknown): void => {
    for (const [, name = ''] of JSON.stringify(value).matchAll(/"#\/components\/schemas\/([^"/]+)"/g)) {
      const schema = all[name];
      if (schema === undefined || used.has(name)) continue;
      used.set(name, schema);
      visit(schema);
    }
  };
  visit(part);
  return Object.fromEntries([...used].sort(([a], [b]) => (a < b ? -1 : 1)));
}

/** From draft 7, in which the generator writes, to 2020-12, in which OpenAPI 3.1 reads: only lists of fixed length are written another way. */
export function inDraft2020(schema: unknown): unknown {
  if (Array.isArray(schema)) return schema.map(inDraft2020);
  if (typeof schema !== 'object' || schema === null) return schema;
  const entries = Object.entries(schema).map(([key, value]): [string, unknown] =>
    key === 'items' && Array.isArray(value)
      ? ['prefixItems', value.map(inDraft2020)]
      : [key, inDraft2020(value)],
  );
  return Object.fromEntries(entries);
}
