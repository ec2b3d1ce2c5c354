import { readFileSync } from 'node:fs';
import type { INestApplication } from '@nestjs/common';
import { DocumentBuilder, type OpenAPIObject, SwaggerModule } from '@nestjs/swagger';

/** JSON Schemas of the API's bodies, generated at build time from the types of the contract. */
const schemasFile = new URL('../../dist/api-schemas.json', import.meta.url);

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
} as const;

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
    .addServer('/')
    .build();
  const document = SwaggerModule.createDocument(app, outline);
  const bodies = readFileSync(schemasFile, 'utf8').replaceAll('#/definitions/', '#/components/schemas/');
  const { definitions } = JSON.parse(bodies) as { definitions: Record<string, object> };
  document.components = {
    ...document.components,
    schemas: { ...definitions, Problem: problemSchema } as never,
  };
  return document;
}
