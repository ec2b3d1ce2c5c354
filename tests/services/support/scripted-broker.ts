import { type AddressInfo, createServer, type Socket } from 'node:net';

/** What a broker of MQTT 5 does when a packet of a type comes: nothing, or bytes to answer with. */
export type Script = Readonly<Partial<Record<PacketType, (body: Buffer) => Buffer>>>;

/** The control packets that a client sends (MQTT 5.0, 2.1.2). */
export type PacketType = 'connect' | 'publish' | 'subscribe' | 'unsubscribe' | 'pingreq';
const types: Readonly<Record<number, PacketType>> = {
  1: 'connect',
  3: 'publish',
  8: 'subscribe',
  10: 'unsubscribe',
  12: 'pingreq',
};

/** A broker on loopback that does only what its script says: for what no real broker can be made to do on demand. */
export interface ScriptedBroker {
  readonly url: string;
  readonly connections: () => number;
  /** Sends to everybody who is connected. */
  readonly send: (bytes: Buffer) => void;
  readonly follow: (script: Script) => void;
  readonly close: () => Promise<void>;
}

/** CONNACK, accepted, no session (3.2). */
export const accepted = Buffer.from([0x20, 3, 0, 0, 0]);
/** DISCONNECT with a reason code (3.14). */
export const disconnect = (reasonCode: number): Buffer => Buffer.from([0xe0, 2, reasonCode, 0]);
/** PUBLISH at QoS 0 without properties (3.3). */
export function message(topic: string, payload: string): Buffer {
  const body = Buffer.concat([
    Buffer.from([topic.length >> 8, topic.length & 255]),
    Buffer.from(`${topic}\0${payload}`),
  ]);
  return Buffer.concat([Buffer.from([0x30, body.length]), body]);
}
/** PUBACK to a message at QoS 1 (3.4). */
export function published(publish: Buffer): Buffer {
  const afterTopic = 2 + publish.readUInt16BE(0);
  return Buffer.concat([Buffer.from([0x40, 2]), publish.subarray(afterTopic, afterTopic + 2)]);
}
/** SUBACK that grants QoS 1 to so many filters (3.9). */
export const granted =
  (filters: number) =>
  (subscribe: Buffer): Buffer =>
    Buffer.concat([
      Buffer.from([0x90, 3 + filters]),
      subscribe.subarray(0, 2),
      Buffer.alloc(1 + filters, 1).fill(0, 0, 1),
    ]);

export async function startScriptedBroker(first: Script): Promise<ScriptedBroker> {
  let script = first;
  let connections = 0;
  const sockets = new Set<Socket>();
  const server = createServer((socket) => {
    connections += 1;
    sockets.add(socket);
    socket.on('error', () => undefined);
    socket.on('close', () => sockets.delete(socket));
    socket.on(
      'data',
      packets((type, body) => {
        const answer = script[type]?.(body);
        if (answer !== undefined) socket.write(answer);
      }),
    );
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  return {
    url: `mqtt://127.0.0.1:${(server.address() as AddressInfo).port}`,
    connections: () => connections,
    send: (bytes) => sockets.forEach((socket) => socket.write(bytes)),
    follow: (next) => (script = next),
    close: async () => {
      for (const socket of sockets) socket.destroy();
      await new Promise((resolve) => server.close(resolve));
    },
  };
}

/** Cuts a stream into packets of less than 128 bytes, or of less than 16 KiB. */
function packets(take: (type: PacketType, body: Buffer) => void): (chunk: Buffer) => void {
  let rest = Buffer.alloc(0);
  return (chunk) => {
    rest = Buffer.concat([rest, chunk]);
    for (;;) {
      const [first = 0, low = 0, high = 0] = rest;
      const head = low < 128 ? 2 : 3;
      const length = low < 128 ? low : (low & 127) + high * 128;
      if (rest.length < head + length || rest.length < 2) return;
      const type = types[first >> 4];
      if (type !== undefined) take(type, rest.subarray(head, head + length));
      rest = rest.subarray(head + length);
    }
  };
}
