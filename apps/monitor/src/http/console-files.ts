import { existsSync } from 'node:fs';
import { join } from 'node:path';
import express, { type RequestHandler } from 'express';

/** Serves the built console: files with a hash in their name for a year, the page itself always fresh, and the page for each of its addresses. */
export function consoleFiles(directory: string): RequestHandler[] {
  const page = join(directory, 'index.html');
  if (!existsSync(page))
    throw new Error(`the console is not built: ${page} is missing; npm run build makes it`);
  return [
    express.static(directory, {
      index: false,
      setHeaders: (response, path) => {
        response.setHeader(
          'Cache-Control',
          path.includes('/assets/') ? 'public, max-age=31536000, immutable' : 'no-cache',
        );
      },
    }),
    (request, response, next) => {
      const isPage =
        request.method === 'GET' &&
        !/^\/(api|health|metrics)(\/|$)/.test(request.path) &&
        request.accepts('html') !== false &&
        !request.path.includes('.');
      if (!isPage) {
        next();
        return;
      }
      response.setHeader('Cache-Control', 'no-cache');
      response.sendFile(page);
    },
  ];
}
