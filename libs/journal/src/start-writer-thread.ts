import { Worker } from 'node:worker_threads';
import { JournalError } from './journal-error.js';
import type { WriteReply, WriteRequest } from './segment-writer.mjs';

/** The writer as the journal sees it: one request at a time, a reply to each, or the news that it died. */
export interface Writer {
  /** Resolves when it has loaded; rejects with a JournalError where it cannot. */
  readonly ready: Promise<void>;
  readonly write: (request: WriteRequest) => void;
  readonly onReply: (listener: (reply: WriteReply) => void) => void;
  readonly onDeath: (listener: (why: string) => void) => void;
  /** Closes the segment in good order and ends the thread. */
  readonly close: () => Promise<void>;
}

/**
 * Starts the writer thread.
 *
 * Node 20 cannot run TypeScript, and a worker is loaded by Node itself, past the test runner's transformation. So the few files
 * that run in the thread are JavaScript, type-checked through their JSDoc; the compiler copies them into `dist`, and one and the
 * same URL holds from `src` and from `dist`: no build before the tests, nothing out of date.
 * @param started Told the thread, e.g. to end it in a test.
 */
export function startWriterThread(started?: (worker: Worker) => void): Writer {
  const worker = new Worker(new URL('./writer-thread.mjs', import.meta.url), { name: 'journal' });
  started?.(worker);
  const ended = new Promise<void>((resolve) => worker.once('exit', () => resolve()));
  let closing = false;
  let why = 'it ended without a word';
  worker.once('error', (error) => (why = error instanceof Error ? error.message : String(error)));
  const ready = new Promise<void>((resolve, reject) => {
    worker.once('message', () => resolve());
    worker.once('exit', () =>
      reject(new JournalError('io', `The journal's writer thread did not start: ${why}`)),
    );
  });
  ready.catch(() => undefined);
  return {
    ready,
    write: (request) => worker.postMessage(request),
    onReply: (listener) => {
      worker.on('message', (message: WriteReply | 'ready') => {
        if (message !== 'ready') listener(message);
      });
    },
    onDeath: (listener) => {
      worker.once('exit', () => {
        if (!closing) listener(why);
      });
    },
    close: async () => {
      closing = true;
      worker.postMessage('close');
      await ended;
    },
  };
}
