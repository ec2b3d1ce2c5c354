import { rolesFor } from '@edge-margin/access';
import { type CanActivate, type ExecutionContext, Inject, Injectable } from '@nestjs/common';
import { Reflector } from '@nestjs/core';
import type { Request } from 'express';
import { timingSafeEqual } from 'node:crypto';
import { ProblemException } from '../http/problem.js';
import { DOOR } from '../tokens.js';
import { actingPerson } from './acting-person.js';
import { type RouteAccess, routeAccess } from './route-access.js';
import type { Door } from './door.js';
import { isAllowed, type Principal } from './principal.js';
import { recognize, rememberVisitor, type Visitor } from './visitor.js';

/** Stands before every route and lets in whom its annotation allows. */
@Injectable()
export class DoorGuard implements CanActivate {
  readonly #door: Door;
  readonly #reflector: Reflector;

  constructor(@Inject(DOOR) door: Door, @Inject(Reflector) reflector: Reflector) {
    this.#door = door;
    this.#reflector = reflector;
  }

  async canActivate(context: ExecutionContext): Promise<boolean> {
    const access = this.#reflector.get<RouteAccess | undefined>(routeAccess, context.getHandler());
    if (access === undefined) throw new Error(`${context.getHandler().name}: nobody said who may`);
    const request = context.switchToHttp().getRequest<Request>();
    const visitor = await this.#admitted(recognize(request, this.#door), request, access);
    rememberVisitor(request, visitor);
    return true;
  }

  async #admitted(visitor: Visitor, request: Request, access: RouteAccess): Promise<Visitor> {
    if (!access.startsSession) refuseForged(request, visitor.principal);
    const { who } = access;
    if (who === 'anybody') return visitor;
    if (who === 'signed-in') {
      if (visitor.principal.kind !== 'person') throw nobodySignedIn();
      return visitor;
    }
    const seen = access.acting ? await actingPerson(visitor, request, this.#door) : visitor;
    if (isAllowed(seen.principal, who, this.#door.openViewing)) return seen;
    throw seen.principal.kind === 'nobody' ? nobodySignedIn() : notAllowed(seen.principal, who);
  }
}

/** A change in a person's name carries the word that only our own pages can read. Keys need none: no browser sends them by itself. */
function refuseForged(request: Request, principal: Principal): void {
  if (principal.kind !== 'person' || ['GET', 'HEAD', 'OPTIONS'].includes(request.method)) return;
  const given = Buffer.from(request.get('x-csrf-token') ?? '');
  const right = Buffer.from(principal.session.csrfToken);
  if (given.length === right.length && timingSafeEqual(given, right)) return;
  throw new ProblemException(
    403,
    'X-CSRF-Token: missing, or not the one of this session; the csrfToken of GET /api/session is right',
  );
}

function nobodySignedIn(): ProblemException {
  return new ProblemException(401, 'nobody is signed in, or the sign-in has ended; sign in first');
}

function notAllowed(principal: Principal, action: Parameters<typeof rolesFor>[0]): ProblemException {
  if (principal.kind === 'key')
    return new ProblemException(
      403,
      `this key was not made for ${action}; its actions: ${principal.key.actions.join(', ')}`,
    );
  const role =
    principal.kind === 'person'
      ? principal.session.person.role
      : principal.kind === 'acting'
        ? principal.person.role
        : '';
  return new ProblemException(
    403,
    `the role ${role} may not ${action}; who may: ${rolesFor(action).join(', ')}`,
  );
}
