import { type AddressInfo, createServer, type Server, type Socket } from 'node:net';
import { reason } from '@edge-margin/units';
import { JournalError } from '@edge-margin/journal';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { type Connections, type ConnectionsOptions, createConnections } from './connections.js';

let server: Server;
let accepted: Socket[];
const client = { options: { reconnectPeriod: 0 } };

beforeEach(async () => {
  accepted = [];
  server = createServer((socket) => accepted.push(socket.on('error', () => undefined)));
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
});

afterEach(async () => {
  for (const socket of accepted) socket.destroy();
  await new Promise((resolve) => server.close(resolve));
});

function connectionsTo(more: Partial<ConnectionsOptions> = {}): Connections {
  return createConnections({
    address: { host: '127.0.0.1', port: (server.address() as AddressInfo).port, isTls: false },
    tls: {},
    journal: {
      durable: () => 0,
      lastPosition: () => 0,
      onDurable: () => () => undefined,
      pendingBytes: () => 0,
      failure: () => undefined,
    },
    maxPendingBytes: 1000,
    patienceMs: 1000,
    answerTimeoutMs: 1000,
    pauseMs: (failures) => 1000 * 2 ** failures,
    ...more,
  });
}

/** Opens one, has it let in where it says so, and cuts it. */
function oneAfterTheOther(connections: Connections, lastedMs: number): number {
  const stream = connections.open(client).on('error', () => undefined);
  if (lastedMs > 0) connections.isUp();
  connections.cut();
  connections.closed(lastedMs);
  expect(stream.destroyed).toBe(true);
  return client.options.reconnectPeriod;
}

describe('connections, one after the other', () => {
  it('wait longer after each failure, also after one that was let in and did not last', () => {
    const connections = connectionsTo();
    expect([0, 0, 5000, 0].map((lastedMs) => oneAfterTheOther(connections, lastedMs))).toEqual([
      1000, 2000, 4000, 8000,
    ]);
  });

  it('begin with the shortest pause again after one that has lasted for half a minute', () => {
    const connections = connectionsTo();
    expect([0, 0, 30_000, 0].map((lastedMs) => oneAfterTheOther(connections, lastedMs))).toEqual([
      1000, 2000, 4000, 1000,
    ]);
  });

  it('end for the first reason that was seen, and the next begins without one', async () => {
    const connections = connectionsTo();
    const stream = connections.open(client);
    await vi.waitFor(() => expect(accepted).toHaveLength(1));
    connections.giveUp(reason('link-down', 'the first', { cause: 'first' }));
    connections.failed(Object.assign(new Error('later'), { code: 'ECONNRESET' }));
    expect(stream.destroyed).toBe(true);
    expect(connections.closed(0).text).toBe('the first');
    connections.open(client);
    connections.cut();
    expect(connections.closed(0).text).not.toContain('the first');
  });

  it('that end without a word are told by how far they had come', async () => {
    const connections = connectionsTo();
    connections.open(client).resume();
    await vi.waitFor(() => expect(accepted).toHaveLength(1));
    await vi.waitFor(() =>
      expect(connections.closed(0).text).toContain('closed the connection before it answered'),
    );
    connections.isUp();
    expect(connections.closed(10).text).toBe('the connection was closed');
  });

  it('are not begun while the journal cannot be written, and say so', async () => {
    const failure = new JournalError('disk-full', 'journal: no space is left on the disk');
    const connections = connectionsTo({
      journal: {
        durable: () => 0,
        lastPosition: () => 0,
        onDurable: () => () => undefined,
        pendingBytes: () => 0,
        failure: () => failure,
      },
    });
    const error = await new Promise<Error>((resolve) => connections.open(client).once('error', resolve));
    expect(error).toMatchObject({ code: 'JOURNAL_FAILING', message: failure.message });
    connections.failed(error);
    expect(connections.closed(0)).toMatchObject({ params: { cause: 'JOURNAL_FAILING' } });
    expect(accepted).toEqual([]);
  });

  it('that we leave ourselves end as stopped, whatever was seen before', () => {
    const connections = connectionsTo();
    connections.open(client);
    connections.giveUp(reason('link-down', 'something else', { cause: 'other' }));
    connections.leave();
    expect(connections.closed(0).text).toBe('stopped');
  });
});
