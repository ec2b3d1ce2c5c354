import { promisify } from 'node:util';
import { constants, gzip } from 'node:zlib';
import { addressOf, authorizationOf, type InfluxServer, timeoutOf } from './influx-server.js';
import { classifyAnswer, noAnswer, type WriteOutcome } from './write-outcome.js';

const compress = promisify(gzip);
/** One piece for a batch: every further piece is a turn of the loop. */
const pieceBytes = 262_144;

/** Lines as they are, or packed already. */
export type LineBody = string | Uint8Array<ArrayBuffer>;

/** Posts a body of lines (ms), compressed, over a connection that is kept. An empty body asks only whether writing would be possible. */
export type LineWriter = (body: LineBody, signal: AbortSignal) => Promise<WriteOutcome>;

/** Compresses lines, off the main thread. */
export async function packLines(lines: string): Promise<LineBody> {
  return new Uint8Array(await compress(lines, { level: constants.Z_BEST_SPEED, chunkSize: pieceBytes }));
}

/** The writer for one database. */
export function createLineWriter(server: InfluxServer): LineWriter {
  const address = addressOf(server, 'write');
  address.searchParams.set('db', server.database);
  address.searchParams.set('precision', 'ms');
  if (server.retentionPolicy !== undefined) address.searchParams.set('rp', server.retentionPolicy);
  const headers: Record<string, string> = {
    'content-type': 'text/plain; charset=utf-8',
    'content-encoding': 'gzip',
  };
  const authorization = authorizationOf(server);
  if (authorization !== undefined) headers['authorization'] = authorization;
  return async (lines, signal) => {
    try {
      const body = typeof lines === 'string' ? await packLines(lines) : lines;
      return await withinTime(timeoutOf(server), signal, async (limit) => {
        const answer = await fetch(address, {
          method: 'POST',
          headers,
          body,
          redirect: 'manual',
          signal: limit,
        });
        const text = await beginningOf(answer);
        return classifyAnswer(answer.status, text, answer.headers.get('retry-after'));
      });
    } catch (error) {
      return noAnswer(error);
    }
  };
}

/** An answer that says more than this says nothing that matters, bytes. */
const longestAnswer = 65_536;

/** The beginning of the body: a server that never stops talking must not fill the memory. */
async function beginningOf(answer: Response): Promise<string> {
  const decoder = new TextDecoder();
  let text = '';
  if (answer.body === null) return text;
  for await (const chunk of answer.body) {
    text += decoder.decode(chunk, { stream: true });
    if (text.length > longestAnswer) break; // leaving the loop closes the body
  }
  return text;
}

/** Gives the work a signal that aborts after the time or with the outer signal, and leaves nothing hanging on either. */
async function withinTime<T>(
  limitMs: number,
  outer: AbortSignal,
  work: (signal: AbortSignal) => Promise<T>,
): Promise<T> {
  const own = new AbortController();
  const abort = (): void => own.abort(outer.reason);
  const timer = setTimeout(() => own.abort(new Error(`no answer within ${limitMs} ms`)), limitMs);
  outer.addEventListener('abort', abort, { once: true });
  if (outer.aborted) abort();
  try {
    return await work(own.signal);
  } finally {
    clearTimeout(timer);
    outer.removeEventListener('abort', abort);
  }
}
