import { examples } from './examples.js';

/** Puts the example of a type wherever a body is of that type. */
export function withExamples<T>(document: T): T {
  visit(document);
  return document;
}

function visit(part: unknown): void {
  if (typeof part !== 'object' || part === null) return;
  if (isMediaType(part)) {
    const example = examples[part.schema.$ref.split('/').at(-1) ?? ''];
    if (example !== undefined) part.example = example;
  }
  for (const child of Object.values(part)) visit(child);
}

interface MediaType {
  readonly schema: { readonly $ref: string };
  example?: object;
}

function isMediaType(part: object): part is MediaType {
  if (!('schema' in part)) return false;
  const { schema } = part;
  return (
    typeof schema === 'object' &&
    schema !== null &&
    '$ref' in schema &&
    typeof schema.$ref === 'string' &&
    // A parameter has a schema too, and a name.
    !('name' in part)
  );
}
