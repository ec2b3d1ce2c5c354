import { assessRequestSchema } from '@edge-margin/air-film';
import type { INestApplication } from '@nestjs/common';
import { DocumentBuilder, type OpenAPIObject, SwaggerModule } from '@nestjs/swagger';
import { z } from 'zod';
import { apiSchemas, inDraft2020, type Schemas, schemasUsedBy } from '../docs/api-schemas.js';
import { describeEveryAnswer } from '../docs/every-answer.js';
import { withExamples } from '../docs/with-examples.js';
import { securitySchemes } from '../door/access-docs.js';

const problemSchema = {
  type: 'object',
  description: 'Problem details (RFC 9457)',
  required: ['type', 'title', 'status', 'detail'],
  properties: {
    type: { type: 'string' },
    title: { type: 'string' },
    status: { type: 'integer' },
    detail: { type: 'string' },
    errors: {
      type: 'array',
      items: {
        type: 'object',
        required: ['pointer', 'detail'],
        properties: { pointer: { type: 'string' }, detail: { type: 'string' } },
      },
    },
  },
};

const tags = [
  ['winders', 'Winders, their stations and series'],
  ['alarms', 'Alarms and their journal'],
  ['air', 'What entrained air does at one operating point'],
  ['signals', 'Messages and values that could not be used'],
  ['live', 'News as it comes'],
  ['door', 'Signing in, people, keys and what was done with them'],
  ['health', 'The service itself'],
  ['documents', 'These descriptions'],
] as const;

/** The OpenAPI 3.1 description of the running service: paths from the controllers, bodies from the contract's types. */
export function openApiOf(app: INestApplication, version: string): OpenAPIObject {
  const outline = new DocumentBuilder()
    .setOpenAPIVersion('3.1.0')
    .setTitle('edge-margin')
    .setDescription(
      'Winders, their risk of rough edges, alarms and series. SI units; instants in epoch milliseconds. Advisory: nothing here writes to a machine.',
    )
    .setVersion(version)
    .setLicense('Apache-2.0', 'https://www.apache.org/licenses/LICENSE-2.0')
    .addServer('/', 'The service that served this description')
    .addSecurity('session', securitySchemes.session)
    .addSecurity('key', securitySchemes.key);
  for (const [name, description] of tags) outline.addTag(name, description);
  const document = SwaggerModule.createDocument(app, outline.build());
  describeEveryAnswer(document);
  const schemas = inDraft2020(schemasUsedBy(document.paths, allSchemas()));
  return withExamples({
    ...document,
    components: { ...document.components, schemas: schemas as never },
  });
}

/** The types of the contract, what `POST /api/assess` takes (its schema also checks the request), and problem documents. */
function allSchemas(): Schemas {
  return {
    ...apiSchemas(),
    AssessRequest: z.toJSONSchema(assessRequestSchema, { io: 'input', target: 'draft-2020-12' }),
    Problem: problemSchema,
  };
}
