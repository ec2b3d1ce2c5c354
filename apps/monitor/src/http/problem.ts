import { type ArgumentsHost, Catch, type ExceptionFilter, HttpException } from '@nestjs/common';
import type { Response } from 'express';
import type { Logger } from 'pino';

/** Body of an error answer (RFC 9457, media type application/problem+json). */
export interface Problem {
  readonly type: string;
  readonly title: string;
  readonly status: number;
  readonly detail: string;
  /** For a refused body or query: what is wrong where, with a JSON pointer (RFC 6901) or the parameter's name. */
  readonly errors?: readonly { readonly pointer: string; readonly detail: string }[];
}

const titles: Readonly<Record<number, string>> = {
  400: 'The request cannot be used',
  401: 'Nobody is signed in',
  403: 'Not allowed',
  404: 'Not found',
  405: 'Method not allowed',
  406: 'Not to be had in that form',
  409: 'Not possible in the present state',
  413: 'The body is too large',
  415: 'The body is of another kind',
  421: 'Not under this name',
  429: 'Too many tries',
  500: 'The service failed',
  503: 'Not ready',
};

/** An error answer as an exception. */
export class ProblemException extends HttpException {
  readonly headers: Readonly<Record<string, string>>;

  constructor(
    status: number,
    detail: string,
    errors?: Problem['errors'],
    headers: Readonly<Record<string, string>> = {},
  ) {
    super(problem(status, detail, errors), status);
    this.headers = headers;
  }
}

function problem(status: number, detail: string, errors?: Problem['errors']): Problem {
  return {
    type: 'about:blank',
    title: titles[status] ?? 'Error',
    status,
    detail,
    ...(errors === undefined ? {} : { errors }),
  };
}

/** The text of an error answer, for what is refused before any route. */
export function problemText(status: number, detail: string): string {
  return JSON.stringify(problem(status, detail));
}

function isProblem(body: unknown): body is Problem {
  return typeof body === 'object' && body !== null && 'type' in body && 'status' in body && 'detail' in body;
}

/** Turns every exception of a request into a problem document; what is not the caller's fault is logged whole and told in general words. */
@Catch()
export class ProblemFilter implements ExceptionFilter {
  readonly #log: Logger;

  constructor(log: Logger) {
    this.#log = log;
  }

  catch(exception: unknown, host: ArgumentsHost): void {
    const response = host.switchToHttp().getResponse<Response>();
    if (response.headersSent) {
      response.end();
      return;
    }
    const body = this.#bodyFor(exception);
    if (exception instanceof ProblemException) response.set(exception.headers);
    response.status(body.status).type('application/problem+json').send(JSON.stringify(body));
  }

  #bodyFor(exception: unknown): Problem {
    if (exception instanceof HttpException) {
      const given = exception.getResponse();
      return isProblem(given) ? given : problem(exception.getStatus(), exception.message);
    }
    // Errors of the body parser carry their status (RFC 9110) and a message for the caller.
    const status = (exception as { status?: unknown } | null)?.status;
    if (typeof status === 'number' && status >= 400 && status < 500)
      return problem(status, (exception as Error).message);
    this.#log.error({ err: exception }, 'a request failed');
    return problem(500, 'The service could not answer; the log says why');
  }
}
