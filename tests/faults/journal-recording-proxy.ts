import { type AddressInfo, connect, createServer, type Socket } from 'node:net';

/** A TCP relay between an MQTT 5 client and its broker that notes which messages the client has acknowledged. */
export interface RecordingProxy {
  readonly url: string;
  /** Payloads (as text) of the QoS 1 messages whose PUBACK came from the client. */
  readonly acknowledged: ReadonlySet<string>;
  /** Breaks every connection off, and lets nobody through until `mend`. */
  readonly sever: () => void;
  readonly mend: () => void;
  readonly close: () => Promise<void>;
}

const publishType = 3;
const pubackType = 4;

/** Starts a relay to a port on loopback. */
export async function startRecordingProxy(brokerPort: number): Promise<RecordingProxy> {
  const acknowledged = new Set<string>();
  const sockets = new Set<Socket>();
  let severed = false;
  const server = createServer((client) => {
    if (severed) {
      client.destroy();
      return;
    }
    const broker = connect({ port: brokerPort, host: '127.0.0.1', noDelay: true });
    // Oldest first: with more than 65 535 messages under way (Mosquitto 2.0.11 does not keep to the client's receive maximum after some
    // reconnections) identifiers are there twice, and acknowledgements come in the order of the messages (MQTT 5.0, 4.6).
    const sent = new Map<number, string[]>();
    const toClient = packetReader((type, flags, body) => {
      if (type !== publishType || (flags & 6) !== 2) return;
      const { id, payload } = publishIn(body);
      const same = sent.get(id);
      if (same === undefined) sent.set(id, [payload]);
      else same.push(payload);
    });
    const toBroker = packetReader((type, _flags, body) => {
      if (type !== pubackType) return;
      const payload = sent.get(body.readUInt16BE(0))?.shift();
      if (payload !== undefined) acknowledged.add(payload);
    });
    broker.on('data', toClient);
    client.on('data', toBroker);
    client.pipe(broker);
    broker.pipe(client);
    for (const [one, other] of [
      [client, broker],
      [broker, client],
    ] as const) {
      sockets.add(one);
      one.on('error', () => other.destroy());
      one.on('close', () => {
        other.destroy();
        sockets.delete(one);
      });
    }
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  return {
    url: `mqtt://127.0.0.1:${(server.address() as AddressInfo).port}`,
    acknowledged,
    sever: () => {
      severed = true;
      for (const socket of sockets) socket.destroy();
    },
    mend: () => (severed = false),
    close: async () => {
      for (const socket of sockets) socket.destroy();
      await new Promise((resolve) => server.close(resolve));
    },
  };
}

/** Cuts a stream into MQTT control packets (MQTT 5.0, 2.1): type and flags, remaining length in 7-bit groups, body. */
function packetReader(take: (type: number, flags: number, body: Buffer) => void): (chunk: Buffer) => void {
  let rest = Buffer.alloc(0);
  return (chunk) => {
    rest = Buffer.concat([rest, chunk]);
    let start = 0;
    for (;;) {
      const length = variableInteger(rest, start + 1);
      if (length === undefined || rest.length < length.end + length.value) break;
      const first = rest[start] ?? 0;
      take(first >> 4, first & 15, rest.subarray(length.end, length.end + length.value));
      start = length.end + length.value;
    }
    rest = rest.subarray(start);
  };
}

function variableInteger(bytes: Buffer, start: number): { value: number; end: number } | undefined {
  let value = 0;
  for (let index = 0; index < 4; index += 1) {
    const byte = bytes[start + index];
    if (byte === undefined) return undefined;
    value += (byte & 127) * 128 ** index;
    if (byte < 128) return { value, end: start + index + 1 };
  }
  throw new Error('malformed remaining length');
}

/** MQTT 5.0, 3.3.2: topic, packet identifier, properties; then the payload. */
function publishIn(body: Buffer): { id: number; payload: string } {
  const afterTopic = 2 + body.readUInt16BE(0);
  const properties = variableInteger(body, afterTopic + 2);
  if (properties === undefined) throw new Error('malformed properties');
  return {
    id: body.readUInt16BE(afterTopic),
    payload: body.toString('utf8', properties.end + properties.value),
  };
}
