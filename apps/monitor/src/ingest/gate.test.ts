import { once } from 'node:events';
import { type AddressInfo, connect, createServer, type Server, type Socket } from 'node:net';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { createGate, type Gate, type GateJournal } from './gate.js';

/** A disk in the test's hand: appended and durable positions move when told. */
function handDrivenDisk() {
  const listeners = new Set<(position: number) => void>();
  const at = { last: 0, durable: 0, pendingBytes: 0 };
  const journal: GateJournal = {
    lastPosition: () => at.last,
    durable: () => at.durable,
    pendingBytes: () => at.pendingBytes,
    onDurable: (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
  };
  return {
    journal,
    listeners,
    append: (bytes = 10) => {
      at.last += 1;
      at.pendingBytes += bytes;
    },
    sync: (position = at.last) => {
      at.durable = position;
      if (position === at.last) at.pendingBytes = 0;
      for (const listener of listeners) listener(position);
    },
  };
}

let server: Server;
let disk: ReturnType<typeof handDrivenDisk>;
let gate: Gate;
/** The broker's end of the connection, and what it has received. */
let broker: Socket;
let heard: string;
let errors: string[];

async function openGate(options: { maxPendingBytes?: number; patienceMs?: number } = {}): Promise<void> {
  const { port } = server.address() as AddressInfo;
  const socket = connect({ host: '127.0.0.1', port, noDelay: true });
  const accepted = once(server, 'connection');
  gate = createGate({ socket, journal: disk.journal, maxPendingBytes: 1000, patienceMs: 60_000, ...options });
  gate.stream.on('error', (error) => errors.push(error.message));
  [broker] = (await accepted) as [Socket];
  broker.on('data', (chunk) => (heard += chunk.toString()));
  broker.on('error', () => undefined);
}

/** Long enough for bytes to cross loopback. */
const settle = (): Promise<void> => new Promise((resolve) => setTimeout(resolve, 40));

beforeEach(async () => {
  disk = handDrivenDisk();
  heard = '';
  errors = [];
  server = createServer();
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
});
afterEach(() => {
  gate.stream.destroy();
  broker.destroy();
  server.close();
});

describe('the gate', () => {
  it('lets bytes through at once where everything is on disk', async () => {
    await openGate();
    gate.stream.write('connect');
    await settle();
    expect(heard).toBe('connect');
  });

  it('holds bytes until all that was appended before them is on disk, and no longer', async () => {
    await openGate();
    disk.append();
    gate.stream.write('a');
    disk.append();
    gate.stream.write('b');
    disk.append();
    await settle();
    expect(heard).toBe('');
    disk.sync(1);
    await settle();
    expect(heard).toBe('a');
    disk.sync(2);
    await settle();
    expect(heard).toBe('ab');
  });

  it('keeps the order of bytes that depend on nothing new', async () => {
    await openGate();
    disk.append();
    gate.stream.cork();
    gate.stream.write('a');
    gate.stream.write('b');
    gate.stream.uncork();
    gate.stream.write('c');
    await settle();
    expect(heard).toBe('');
    disk.sync();
    gate.stream.write('d');
    await settle();
    expect(heard).toBe('abcd');
  });

  it('ends only after what is held has left', async () => {
    await openGate();
    const ended = once(broker, 'end');
    disk.append();
    gate.stream.write('ack');
    gate.stream.end();
    await settle();
    expect(heard).toBe('');
    disk.sync();
    await ended;
    expect(heard).toBe('ack');
  });

  it('sends nothing of what is held when it is destroyed', async () => {
    await openGate();
    disk.append();
    gate.stream.write('ack');
    gate.stream.destroy();
    disk.sync();
    await once(broker, 'close');
    expect(heard).toBe('');
    expect(disk.listeners.size).toBe(0);
  });

  it('hands on what the broker sends, and the end', async () => {
    await openGate();
    let received = '';
    gate.stream.on('data', (chunk: Buffer) => (received += chunk.toString()));
    broker.end('hello');
    await once(gate.stream, 'close');
    expect(received).toBe('hello');
    expect(errors).toEqual([]);
  });

  it('stops reading above the bound of what waits for the disk, and goes on below half of it', async () => {
    await openGate();
    let received = 0;
    gate.stream.on('data', (chunk: Buffer) => {
      received += chunk.length;
      disk.append(chunk.length);
    });
    const sent = 32 * 1024 * 1024;
    broker.write(Buffer.alloc(sent));
    await settle();
    await settle();
    expect(received).toBeGreaterThan(0);
    expect(received).toBeLessThan(1024 * 1024);
    const syncing = setInterval(() => disk.sync(), 1);
    while (received < sent) await settle();
    clearInterval(syncing);
    expect(received).toBe(sent);
  });

  it('lets the rest of the process have its turn while a lot comes in at once', async () => {
    await openGate();
    const sent = 2 * 1024 * 1024;
    broker.write(Buffer.alloc(sent));
    await settle();
    let received = 0;
    let inThisTurn = 0;
    const turns: number[] = [];
    gate.stream.on('data', (chunk: Buffer) => {
      if (inThisTurn === 0)
        setImmediate(() => {
          turns.push(inThisTurn);
          inThisTurn = 0;
        });
      inThisTurn += chunk.length;
      received += chunk.length;
    });
    while (received < sent) await settle();
    // Two pieces of 64 KiB each, where one was lying ready.
    expect(Math.max(...turns)).toBeLessThanOrEqual(128 * 1024);
  });

  it('gives the connection up, and what it held with it, when the disk does not move', async () => {
    await openGate({ patienceMs: 60 });
    disk.append();
    gate.stream.write('ack');
    await once(broker, 'close');
    expect(heard).toBe('');
    expect(errors).toEqual(['the journal did not get to disk within 60 ms']);
  });

  it('keeps its patience as long as the disk moves, however slowly', async () => {
    await openGate({ patienceMs: 150 });
    for (let n = 1; n <= 10; n += 1) disk.append();
    gate.stream.write('ack');
    for (let n = 1; n <= 10; n += 1) {
      await settle();
      disk.sync(n);
    }
    await settle();
    expect(heard).toBe('ack');
    expect(errors).toEqual([]);
  });

  it('drops what still comes after it was told to read nothing more', async () => {
    await openGate();
    let received = '';
    gate.stream.on('data', (chunk: Buffer) => (received += chunk.toString()));
    gate.stopReading();
    broker.write('late');
    await settle();
    gate.stream.end('bye');
    await once(broker, 'end');
    expect([received, heard]).toEqual(['', 'bye']);
  });

  it('passes on that the connection could not be made', async () => {
    const { port } = server.address() as AddressInfo;
    server.close();
    const failing = createGate({
      socket: connect(port, '127.0.0.1'),
      journal: disk.journal,
      maxPendingBytes: 1000,
      patienceMs: 1000,
    });
    const [error] = (await once(failing.stream, 'error')) as [NodeJS.ErrnoException];
    expect(error.code).toBe('ECONNREFUSED');
  });
});
