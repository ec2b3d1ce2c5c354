import { promisify } from 'node:util';
import { constants, gzip } from 'node:zlib';
import { addressOf, type InfluxServer, timeoutOf } from './influx-server.js';
import { classifyAnswer, noAnswer, type WriteOutcome } from './write-outcome.js';

const compress = promisify(gzip);

/** Posts a body of lines (ms), compressed, over a connection that is kept. An empty body asks only whether writing would be possible. */
export type LineWriter = (body: string, signal: AbortSignal) => Promise<WriteOutcome>;

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
  if (server.username !== undefined) {
    const credentials = Buffer.from(`${server.username}:${server.password ?? ''}`).toString('base64');
    headers['authorization'] = `Basic ${credentials}`;
  }
  return async (lines, signal) => {
    try {
      const body = new Uint8Array(await compress(lines, { level: constants.Z_BEST_SPEED }));
      return await withinTime(timeoutOf(server), signal, async (limit) => {
        const answer = await fetch(address, {
          method: 'POST',
          headers,
          body,
          redirect: 'manual',
          signal: limit,
        });
        return classifyAnswer(answer.status, await answer.text());
      });
    } catch (error) {
      return noAnswer(error);
    }
  };
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
