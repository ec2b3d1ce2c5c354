import type { NextFunction, Request, RequestHandler, Response } from 'express';

/**
 * Lets in only what was asked under the service's own loopback names, and refuses changes that a page of another origin asks for.
 * Without it a foreign web page could reach a service on loopback through the visitor's browser (by re-binding its name to 127.0.0.1).
 */
export function sameOrigin(): RequestHandler {
  return (request: Request, response: Response, next: NextFunction) => {
    const host = request.headers.host;
    const origin = request.headers.origin;
    if (host === undefined || !isLoopback(`http://${host}`)) {
      refuse(response, `Host: "${host ?? ''}" was given; localhost or a loopback address is right`);
      return;
    }
    if (origin !== undefined && origin !== `http://${host}`) {
      refuse(response, `Origin: "${origin}" was given; only pages of this service may ask`);
      return;
    }
    next();
  };
}

function isLoopback(url: string): boolean {
  if (!URL.canParse(url)) return false;
  return ['localhost', '127.0.0.1', '[::1]'].includes(new URL(url).hostname);
}

function refuse(response: Response, detail: string): void {
  response
    .status(403)
    .type('application/problem+json')
    .send(JSON.stringify({ type: 'about:blank', title: 'Not from here', status: 403, detail }));
}
