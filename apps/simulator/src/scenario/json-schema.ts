import { z } from 'zod';
import { scenarioSchema } from './scenario-schema.js';

/** The scenario file's JSON Schema (draft 2020-12), from the same description as the types: for editors and for reading. */
export function scenarioJsonSchema(): object {
  return {
    ...z.toJSONSchema(scenarioSchema, { io: 'input', reused: 'ref' }),
    title: 'Scenario of the simulator',
  };
}
