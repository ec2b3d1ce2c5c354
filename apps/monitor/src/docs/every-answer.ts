import type { OpenAPIObject } from '@nestjs/swagger';

type Operation = NonNullable<OpenAPIObject['paths'][string]['get']>;

const problem = { 'application/problem+json': { schema: { $ref: '#/components/schemas/Problem' } } };

/** Answers that come from before or beside the routes, so that no route has to name them. */
const everywhere: Readonly<Record<string, string>> = {
  403: 'Not allowed, or asked for under a name of another place, or by a page of another place',
  500: 'The service failed; its log says why',
};
const wherePeopleSendSomething: Readonly<Record<string, string>> = {
  400: 'The request cannot be used; `errors` names each field',
  413: 'The body is too large',
};

const methods = ['get', 'put', 'post', 'delete', 'patch'] as const;

/** Writes the answers that every route can give into the description; what a route says itself stays. */
export function describeEveryAnswer({ paths }: OpenAPIObject): void {
  for (const item of Object.values(paths))
    for (const method of methods) {
      const operation = item[method];
      if (operation === undefined) continue;
      add(operation, everywhere);
      if (operation.requestBody !== undefined) add(operation, wherePeopleSendSomething);
    }
}

function add(operation: Operation, answers: Readonly<Record<string, string>>): void {
  for (const [status, description] of Object.entries(answers))
    operation.responses[status] ??= { description, content: problem };
}
