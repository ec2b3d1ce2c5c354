import { z } from 'zod';
import { scenarioJsonSchema } from '../scenario/json-schema.js';
import { distributionSchema } from './distribution-schema.js';
import { isSection } from './distribution-problems.js';

type Schema = Readonly<Record<string, unknown>>;

const DRAWN = { $ref: '#/$defs/distribution' };

/** A family's JSON Schema (draft 2020-12): a scenario's, in which any value may be a distribution, and `draws`. */
export function familyJsonSchema(): object {
  const { $defs = {}, properties = {}, ...rest } = scenarioJsonSchema() as Schema;
  const distribution = z.toJSONSchema(distributionSchema, { io: 'input' }) as Schema;
  const { $schema, ...named } = distribution;
  return {
    $schema,
    ...(opened(rest) as Schema),
    title: 'Family of scenarios of the simulator',
    properties: {
      ...openedEach(properties as Schema),
      draws: {
        type: 'object',
        description: 'Values that several places share, by name',
        additionalProperties: DRAWN,
      },
    },
    $defs: { ...mapped($defs as Schema, opened), distribution: named },
  };
}

/** The schema of a part, in which every value inside may be drawn. */
function opened(schema: unknown): unknown {
  if (Array.isArray(schema)) return schema.map(opened);
  if (!isSection(schema)) return schema;
  return Object.fromEntries(
    Object.entries(schema).map(([key, part]) => {
      if (key === 'properties' && isSection(part)) return [key, openedEach(part)];
      if ((key === 'items' || key === 'additionalProperties') && isSection(part))
        return [key, drawable(part)];
      if (key === 'anyOf' || key === 'oneOf' || key === 'allOf') return [key, opened(part)];
      return [key, part];
    }),
  );
}

function openedEach(properties: Schema): Schema {
  return mapped(properties, drawable);
}

function drawable(schema: unknown): unknown {
  return { anyOf: [opened(schema), DRAWN] };
}

function mapped(record: Schema, change: (part: unknown) => unknown): Schema {
  return Object.fromEntries(Object.entries(record).map(([key, part]) => [key, change(part)]));
}
