// @ts-check
// The writer thread's entry: one request at a time, one reply each. What is pending stays with the main thread, so this
// thread may die at any moment without losing a row.
import { parentPort } from 'node:worker_threads';
import { createSegmentWriter } from './segment-writer.mjs';

const port = parentPort;
if (port === null) throw new Error('writer-thread.mjs is a worker: start it with start-writer-thread');
const writer = createSegmentWriter();

port.on('message', (/** @type {import('./segment-writer.mjs').WriteRequest | 'close'} */ request) => {
  if (request !== 'close') {
    port.postMessage(writer.write(request));
    return;
  }
  writer.close();
  port.close();
});

port.postMessage('ready');
