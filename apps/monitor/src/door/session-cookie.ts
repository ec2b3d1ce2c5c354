import { parse, serialize } from 'cookie';
import type { Request, Response } from 'express';
import type { Peer } from './peer.js';

const plainName = 'edge-margin-session';

/** With the prefix the browser itself sees to it that the cookie came over TLS, from this very host (RFC 6265bis, 4.1.3.2). */
function nameFor(peer: Peer): string {
  return peer.isEncrypted ? `__Host-${plainName}` : plainName;
}

/** The session id that the request carries; undefined where there is none that could be one. */
export function sessionIdOf(request: Request, peer: Peer): string | undefined {
  const header = request.headers.cookie;
  if (header === undefined) return undefined;
  const id = parse(header)[nameFor(peer)];
  return id !== undefined && /^[A-Za-z0-9_-]{43}$/.test(id) ? id : undefined;
}

/** Gives the browser the session id, out of reach of scripts and of other sites, until it is closed; null takes it away. */
export function setSessionCookie(response: Response, peer: Peer, id: string | null): void {
  const cookie = serialize(nameFor(peer), id ?? '', {
    httpOnly: true,
    sameSite: 'strict',
    secure: peer.isEncrypted,
    path: '/',
    ...(id === null ? { maxAge: 0 } : {}),
  });
  response.append('Set-Cookie', cookie);
}
