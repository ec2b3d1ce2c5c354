import type { Journal } from '@edge-margin/journal';
import { Duplex } from 'node:stream';

/** What the gate needs of the journal. */
export type GateJournal = Pick<Journal, 'durable' | 'lastPosition' | 'onDurable' | 'pendingBytes'>;

export interface GateOptions {
  /** The connection to the broker: a TCP or TLS socket, perhaps still connecting. */
  readonly socket: Duplex;
  readonly journal: GateJournal;
  /** Above this much that is not on disk nothing more is read from the broker, until half of it is. */
  readonly maxPendingBytes: number;
  /** The connection is given up when the journal has not moved for so long while bytes are held back or reading is paused. */
  readonly patienceMs: number;
}

export interface Gate {
  /** What the client reads and writes. */
  readonly stream: Duplex;
  /** Reads nothing more from the broker; what is written still leaves when its time has come. */
  readonly stopReading: () => void;
}

/** Some hundred messages. */
const largePieceBytes = 16 * 1024;

/** Bytes that may leave when the journal has reached a position. */
interface Held {
  readonly mark: number;
  readonly chunks: Buffer[];
}

/**
 * Puts itself around the socket of an MQTT client, so that an acknowledgement leaves only when its message is on disk.
 *
 * The client appends each message to the journal and acknowledges at once; every byte it writes waits here until everything that had been
 * appended by then is durable, and leaves in the order written. Ending the gate in good order waits likewise; destroying it drops what is
 * held, and the broker sends those messages again.
 */
export function createGate({ socket, journal, maxPendingBytes, patienceMs }: GateOptions): Gate {
  let held: Held[] = [];
  let readingPaused = false;
  let readingStopped = false;
  let clientIsFull = false;
  let othersTurn: NodeJS.Immediate | undefined;
  let ending: (() => void) | undefined;
  let patience: NodeJS.Timeout | undefined;

  const stream: Duplex = new Duplex({
    readableHighWaterMark: 64 * 1024,
    allowHalfOpen: false,
    read: () => {
      clientIsFull = false;
      goOnReading();
    },
    write: (chunk: Buffer, _encoding, done) => pass([chunk], done),
    writev: (writes, done) =>
      pass(
        writes.map(({ chunk }) => chunk as Buffer),
        done,
      ),
    final: (done) => {
      ending = () => socket.end(done);
      setReadingPaused(false);
      if (held.length === 0) endNow();
    },
    destroy: (error, done) => {
      stopListening();
      clearTimeout(patience);
      clearImmediate(othersTurn);
      held = [];
      socket.destroy();
      done(error);
    },
  });

  function pass(chunks: Buffer[], done: (error?: Error | null) => void): void {
    const mark = journal.lastPosition();
    if (held.length === 0 && journal.durable() >= mark) {
      socket.write(joined(chunks), done);
      return;
    }
    const last = held.at(-1);
    if (last?.mark === mark) last.chunks.push(...chunks);
    else held.push({ mark, chunks });
    watch();
    done();
  }

  function release(durable: number): void {
    if (readingPaused && journal.pendingBytes() <= maxPendingBytes / 2) setReadingPaused(false);
    const keep = held.findIndex(({ mark }) => mark > durable);
    const due = held.splice(0, keep === -1 ? held.length : keep);
    if (due.length > 0) socket.write(joined(due.flatMap(({ chunks }) => chunks)));
    if (held.length === 0) endNow();
    patience?.refresh();
    watch();
  }

  function endNow(): void {
    ending?.();
    ending = undefined;
  }

  function setReadingPaused(paused: boolean): void {
    readingPaused = paused;
    if (paused) socket.pause();
    else goOnReading();
    watch();
  }

  function goOnReading(): void {
    if (!readingPaused && !clientIsFull && othersTurn === undefined) socket.resume();
  }

  /** Lets the rest of the process have its turn between two large pieces: Node would else hand over dozens of them in one go. */
  function letOthersHaveTheirTurn(): void {
    socket.pause();
    othersTurn ??= setImmediate(() => {
      othersTurn = undefined;
      goOnReading();
    });
  }

  /** Keeps the patience running while, and only while, something waits for the journal. */
  function watch(): void {
    const waiting = held.length > 0 || readingPaused;
    if (waiting === (patience !== undefined)) return;
    clearTimeout(patience);
    patience = waiting ? setTimeout(() => stream.destroy(stalled(patienceMs)), patienceMs) : undefined;
  }

  const stopListening = journal.onDurable(release);
  socket.on('data', (chunk: Buffer) => {
    if (readingStopped) return;
    clientIsFull = !stream.push(chunk);
    if (clientIsFull) socket.pause();
    else if (chunk.length >= largePieceBytes) letOthersHaveTheirTurn();
    if (!readingPaused && journal.pendingBytes() > maxPendingBytes) setReadingPaused(true);
  });
  socket.once('end', () => stream.push(null));
  socket.on('error', (error) => stream.destroy(error));
  socket.once('close', () => {
    // What was read before the end is still handed on; it is unacknowledged at worst.
    if (stream.readableEnded || !socket.readableEnded) stream.destroy();
    else stream.once('end', () => stream.destroy());
  });
  return {
    stream,
    stopReading: () => {
      // What still comes is dropped, not left lying: the end of the connection lies behind it.
      readingStopped = true;
      clientIsFull = false;
      setReadingPaused(false);
    },
  };
}

function joined(chunks: readonly Buffer[]): Buffer {
  const [only] = chunks;
  return chunks.length === 1 && only !== undefined ? only : Buffer.concat(chunks);
}

function stalled(patienceMs: number): Error {
  const text = `the journal did not get to disk within ${patienceMs} ms`;
  return Object.assign(new Error(text), { code: 'JOURNAL_STALLED' });
}
