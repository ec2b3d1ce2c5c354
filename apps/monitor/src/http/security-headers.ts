import type { Request, RequestHandler } from 'express';

/** What a page of the service may do: its own scripts, styles, pictures and connections; nobody frames it; no device is asked for. */
const always: readonly (readonly [string, string])[] = [
  [
    'Content-Security-Policy',
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; connect-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'",
  ],
  ['X-Content-Type-Options', 'nosniff'],
  ['Referrer-Policy', 'no-referrer'],
  ['Cross-Origin-Opener-Policy', 'same-origin'],
  ['Cross-Origin-Resource-Policy', 'same-origin'],
  [
    'Permissions-Policy',
    'camera=(), microphone=(), geolocation=(), display-capture=(), usb=(), serial=(), bluetooth=(), hid=(), payment=(), clipboard-read=()',
  ],
];

/** A year: browsers that came once over TLS come only so from then on (RFC 6797). Other names of the domain are not ours to bind. */
const strictTransport = 'max-age=31536000';

/** Headers of every answer. What the API says is kept nowhere on its way. */
export function securityHeaders(isEncrypted: (request: Request) => boolean): RequestHandler {
  return (request, response, next) => {
    for (const [name, value] of always) response.setHeader(name, value);
    if (isEncrypted(request)) response.setHeader('Strict-Transport-Security', strictTransport);
    if (/^\/(api|health|metrics)(\/|$)/.test(request.path)) response.setHeader('Cache-Control', 'no-store');
    next();
  };
}
