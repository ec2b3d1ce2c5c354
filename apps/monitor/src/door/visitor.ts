import type { Request } from 'express';
import { ProblemException } from '../http/problem.js';
import type { Door } from './door.js';
import { type Peer, peerOf } from './peer.js';
import type { Principal } from './principal.js';
import { sessionIdOf } from './session-cookie.js';

/** A request with who asks, as the guard found out. */
export interface Visitor {
  readonly peer: Peer;
  readonly principal: Principal;
}

const visitors = new WeakMap<Request, Visitor>();

/** What the guard found out about the request. */
export function visitorOf(request: Request): Visitor {
  const visitor = visitors.get(request);
  if (visitor === undefined) throw new Error('a request came past the guard');
  return visitor;
}

export function rememberVisitor(request: Request, visitor: Visitor): void {
  visitors.set(request, visitor);
}

/**
 * Finds out who asks: by key where one is shown, else by session.
 * @throws ProblemException 401 for a key that is none: a machine shall learn that, and not go on as nobody.
 */
export function recognize(request: Request, door: Door): Visitor {
  const peer = peerOf(request, door.behindProxy);
  const { authorization } = request.headers;
  if (authorization !== undefined) return { peer, principal: keyPrincipal(authorization, peer, door) };
  const id = sessionIdOf(request, peer);
  const session = id === undefined ? undefined : door.sessions.find(id);
  return { peer, principal: session === undefined ? { kind: 'nobody' } : { kind: 'person', session } };
}

function keyPrincipal(authorization: string, peer: Peer, door: Door): Principal {
  const given = /^Bearer +([\x21-\x7e]{1,200})$/i.exec(authorization)?.[1];
  const key = given === undefined ? undefined : door.keys.find(given);
  if (key !== undefined) return { kind: 'key', key };
  door.audit.note({ what: 'key-refused', from: peer.address });
  throw new ProblemException(
    401,
    'Authorization: a key was given that is unknown, ended or expired; "Bearer" and a key of /api/keys are right',
  );
}

/** Whether who asked once may still go on listening. */
export function isStillThere({ principal }: Visitor, door: Door): boolean {
  if (principal.kind === 'person') return door.sessions.isLive(principal.session.idHash);
  if (principal.kind === 'key') return door.keys.isLive(principal.key.id);
  return door.openViewing;
}
