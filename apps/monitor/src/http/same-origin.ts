import type { NextFunction, Request, RequestHandler, Response } from 'express';
import type { Peer } from '../door/peer.js';
import { type HostName, hostNameOf, isAllowedHost } from './host-names.js';
import { problemText } from './problem.js';

export interface OwnNames {
  /** Names besides those of loopback. */
  readonly allowedHosts: readonly HostName[];
  readonly behindProxy: boolean;
  readonly peerOf: (request: Request) => Peer;
}

const readingMethods = ['GET', 'HEAD', 'OPTIONS'];

/**
 * Lets in only what was asked under the service's own names, and refuses what a page of another origin asks for.
 * Without the first a foreign page could reach the service through a visitor's browser by re-binding its name to our address; without the
 * second it could change things in the visitor's name. Sources: RFC 9110, 7.4 (421), RFC 6454 (Origin), W3C Fetch Metadata (Sec-Fetch-Site).
 */
export function sameOrigin(names: OwnNames): RequestHandler {
  return (request: Request, response: Response, next: NextFunction) => {
    const refusal = refusalOf(request, names);
    if (refusal === undefined) next();
    else
      response
        .status(refusal.status)
        .type('application/problem+json')
        .send(problemText(refusal.status, refusal.detail));
  };
}

function refusalOf(
  request: Request,
  names: OwnNames,
): { readonly status: number; readonly detail: string } | undefined {
  const { host, origin } = request.headers;
  const site = request.headers['sec-fetch-site'];
  if (!isAllowedHost(hostNameOf(host ?? ''), names.allowedHosts)) {
    const right = ['localhost', ...names.allowedHosts].join(', ');
    return {
      status: 421,
      detail: `Host: ${JSON.stringify(host ?? '')} was given; ${right} (HTTP_ALLOWED_HOSTS) is right`,
    };
  }
  if (origin !== undefined && !isOwnOrigin(origin, request, names))
    return {
      status: 403,
      detail: `Origin: ${JSON.stringify(origin)} was given; only pages of this service may ask`,
    };
  if (site !== undefined && site !== 'same-origin' && !readingMethods.includes(request.method))
    return {
      status: 403,
      detail: `Sec-Fetch-Site: ${JSON.stringify(site)} was given; only pages of this service may change things`,
    };
  return undefined;
}

/** The page's origin is the one that it asked: same host and port, and the protocol that the browser speaks with us. */
function isOwnOrigin(origin: string, request: Request, names: OwnNames): boolean {
  if (!URL.canParse(origin)) return false;
  const { protocol, origin: given } = new URL(origin);
  if (origin !== given || !['http:', 'https:'].includes(protocol)) return false;
  // A proxy that does not say what it speaks leaves the protocol open.
  const { isEncrypted } = names.peerOf(request);
  if (protocol !== 'https:' && isEncrypted) return false;
  if (protocol !== 'http:' && !isEncrypted && !names.behindProxy) return false;
  return given === new URL(`${protocol}//${request.headers.host ?? ''}`).origin;
}
