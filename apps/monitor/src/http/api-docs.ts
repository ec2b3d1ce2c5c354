import { applyDecorators } from '@nestjs/common';
import { ApiResponse } from '@nestjs/swagger';

/** Documents an answer body by the name of its type in the API's contract. */
export function jsonOf(typeName: string): { content: Record<string, { schema: { $ref: string } }> } {
  return { content: { 'application/json': { schema: { $ref: `#/components/schemas/${typeName}` } } } };
}

/** Documents a request body by the name of its type in the API's contract. */
export function requestOf(typeName: string): { schema: { $ref: string } } {
  return { schema: { $ref: `#/components/schemas/${typeName}` } };
}

const meanings: Readonly<Record<number, string>> = {
  400: 'The request cannot be used; `errors` names each field',
  401: 'It is not proved who asks',
  403: 'Not allowed',
  404: 'There is no such thing',
  406: 'Not to be had in the form asked for',
  409: 'Not possible in the present state',
  429: 'Too many wrong tries; Retry-After says in how many seconds it goes on',
  503: 'Not ready',
};

/** Documents refusals: problem documents after RFC 9457. */
export function refusals(...statuses: readonly number[]): MethodDecorator {
  return applyDecorators(
    ...statuses.map((status) =>
      ApiResponse({
        status,
        description: meanings[status] ?? '',
        content: { 'application/problem+json': { schema: { $ref: '#/components/schemas/Problem' } } },
      }),
    ),
  );
}
