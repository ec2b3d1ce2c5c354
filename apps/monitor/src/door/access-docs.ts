import { keyActions, openViewingActions, rolesFor } from '@edge-margin/access';
import { applyDecorators } from '@nestjs/common';
import { ApiExtension, ApiResponse, ApiSecurity } from '@nestjs/swagger';
import type { RouteAccess } from './route-access.js';

const problem = { 'application/problem+json': { schema: { $ref: '#/components/schemas/Problem' } } };

/** The ways to say who asks, for the description of the API. */
export const securitySchemes = {
  session: {
    type: 'apiKey',
    in: 'cookie',
    name: 'edge-margin-session',
    description:
      'Set by POST /api/session; `__Host-edge-margin-session` over TLS. Requests that change something also carry the header X-CSRF-Token with the word of GET /api/session.',
  },
  key: {
    type: 'http',
    scheme: 'bearer',
    description:
      'A key of POST /api/keys, for machines: allows the actions it was made for until it expires.',
  },
} as const;

/** Writes who may ask into the description of the route: the action, the roles that have it, whether keys and open viewing have it. */
export function describeAccess({ who, acting }: RouteAccess): MethodDecorator {
  if (who === 'anybody')
    return applyDecorators(ApiSecurity({}), ApiExtension('x-allowed-roles', ['anybody']));
  if (who === 'signed-in')
    return applyDecorators(
      ApiSecurity('session'),
      ApiExtension('x-allowed-roles', ['anybody signed in']),
      ApiResponse({ status: 401, description: 'Nobody is signed in', content: problem }),
    );
  const isOpen = openViewingActions.includes(who);
  return applyDecorators(
    ApiSecurity('session'),
    ...(keyActions.includes(who) ? [ApiSecurity('key')] : []),
    ...(isOpen || acting ? [ApiSecurity({})] : []),
    ApiExtension('x-action', who),
    ApiExtension('x-allowed-roles', [...rolesFor(who)]),
    ...(isOpen ? [ApiExtension('x-open-viewing', true)] : []),
    ...(acting ? [ApiExtension('x-acting-person', true)] : []),
    ApiResponse({
      status: 401,
      description: 'Nobody is signed in, or it is not proved who acts',
      content: problem,
    }),
    ApiResponse({ status: 403, description: 'Not with this role or key', content: problem }),
    ...(acting
      ? [
          ApiResponse({
            status: 429,
            description: 'Too many wrong tries; Retry-After says when',
            content: problem,
          }),
        ]
      : []),
  );
}
