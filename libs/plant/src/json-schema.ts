import { z } from 'zod';
import { plantSchema } from './schema.js';

/** A JSON Schema (draft 2020-12), as far as the plant file's uses it. */
export interface JsonSchema {
  readonly $schema?: string;
  readonly title?: string;
  readonly description?: string;
  readonly type?: string;
  readonly properties?: Readonly<Record<string, JsonSchema>>;
  readonly required?: readonly string[];
  readonly items?: JsonSchema;
  readonly anyOf?: readonly JsonSchema[];
  readonly enum?: readonly (string | number)[];
  readonly const?: string | number;
  readonly minimum?: number;
  readonly maximum?: number;
  readonly minItems?: number;
  readonly format?: string;
}

/**
 * The plant file's JSON Schema, draft 2020-12, for editors and other programs. It describes what may be written: keys with a default are
 * not required. What needs more than one place to judge (ids that must exist, units that must fit a signal) is not in it.
 */
export function plantJsonSchema(): JsonSchema {
  return {
    ...(z.toJSONSchema(plantSchema, { io: 'input', target: 'draft-2020-12' }) as JsonSchema),
    title: 'Plant file',
  };
}
