import type { Action } from '@edge-margin/access';
import { applyDecorators, SetMetadata } from '@nestjs/common';
import { describeAccess } from './access-docs.js';
import { type RouteAccess, routeAccess } from './route-access.js';

function access(given: Partial<RouteAccess> & Pick<RouteAccess, 'who'>): MethodDecorator {
  const complete: RouteAccess = { acting: false, startsSession: false, ...given };
  return applyDecorators(SetMetadata(routeAccess, complete), describeAccess(complete));
}

/** Lets in whom the table of roles, a key's scope or open viewing allows the action. */
export const Allows = (action: Action): MethodDecorator => access({ who: action });

/** The same, and a person whom the body's `acting` names and proves: for single actions at a shared screen. */
export const AllowsActing = (action: Action): MethodDecorator => access({ who: action, acting: true });

/** Lets in whoever has a session. */
export const AllowsSignedIn = (): MethodDecorator => access({ who: 'signed-in' });

/** Lets everybody in: for what must be answered before a sign-in, and for probes. */
export const AllowsAnybody = (): MethodDecorator => access({ who: 'anybody' });

/** Lets everybody in and gives them a session, if they prove who they are. */
export const StartsSession = (): MethodDecorator => access({ who: 'anybody', startsSession: true });
