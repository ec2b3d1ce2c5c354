import type { MqttClient } from 'mqtt';
import { publishPacketBytes } from './packet-bytes.js';
import { wordsOfCode } from './reason-codes.js';

/** A message to publish. */
export interface Publication {
  readonly topic: string;
  readonly payload: string | Uint8Array;
  readonly retain: boolean;
  readonly qos: 0 | 1;
}

/**
 * Why a message was not published.
 * - `not-connected`, `busy`, `link-lost`: try again later. After `link-lost` the broker may have it all the same.
 * - `too-large`, `refused`: it will not go through as it is.
 */
export type PublishErrorCode = 'not-connected' | 'busy' | 'link-lost' | 'too-large' | 'refused';

/** A message that was not published. */
export class PublishError extends Error {
  override readonly name = 'PublishError';
  readonly code: PublishErrorCode;
  constructor(code: PublishErrorCode, message: string, options?: ErrorOptions) {
    super(message, options);
    this.code = code;
  }
}

export interface Publisher {
  /** Resolves when the broker has acknowledged it (QoS 1) or it was handed to the connection (QoS 0); rejects with a PublishError. Never queues while offline. */
  readonly publish: (publication: Publication) => Promise<void>;
  /**
   * The connection closed: nothing in flight will be acknowledged any more.
   * @param tooLarge the broker said that a packet was larger than it takes (0x95): none as large as the largest that was sent is sent again
   */
  readonly linkLost: (tooLarge: boolean) => void;
}

/** Reason code of PUBACK and DISCONNECT (MQTT 5.0, 2.4). */
export const packetTooLarge = 0x95;
/** Unacknowledged at a time. The client does not honour the broker's receive maximum, so the bound is kept here. */
const maxInFlight = 50;
/** Larger ones are refused here: a broker closes the connection over them. */
const maxPacketBytes = 256 * 1024;

function refusedBy(topic: string, error: Error & { readonly code?: unknown }): PublishError {
  const why = typeof error.code === 'number' ? wordsOfCode(error.code) : error.message;
  return new PublishError(error.code === packetTooLarge ? 'too-large' : 'refused', `${topic}: ${why}`, {
    cause: error,
  });
}

/** Publishes through an MQTT client, with what the broker would punish by closing the connection refused beforehand. */
export function createPublisher(client: MqttClient): Publisher {
  const inFlight = new Map<number, (error: PublishError) => void>();
  /** Of the packets sent on this connection. */
  let largestBytes = 0;
  /** What a broker takes that says so only by ending the connection. */
  let learnedLimit = maxPacketBytes;

  function refusal({ topic, payload, qos, retain }: Publication): PublishError | undefined {
    if (!client.connected) return new PublishError('not-connected', 'There is no connection to the broker');
    const broker = client.serverProperties ?? {};
    const bytes = publishPacketBytes(topic, payload, qos, client.options.protocolVersion === 5);
    const limit = Math.min(learnedLimit, broker.maximumPacketSize ?? maxPacketBytes);
    if (bytes > limit) return new PublishError('too-large', `${topic}: ${bytes} bytes, at most ${limit}`);
    if (retain && broker.retainAvailable === false)
      return new PublishError('refused', 'The broker does not keep retained messages');
    if (qos > (broker.maximumQoS ?? 2)) return new PublishError('refused', 'The broker does not offer QoS 1');
    if (inFlight.size >= Math.min(maxInFlight, broker.receiveMaximum ?? maxInFlight))
      return new PublishError('busy', `${inFlight.size} messages are not yet acknowledged`);
    largestBytes = Math.max(largestBytes, bytes);
    return undefined;
  }

  function send({ topic, payload, qos, retain }: Publication): Promise<void> {
    return new Promise((resolve, reject) => {
      const bytes = typeof payload === 'string' ? payload : Buffer.from(payload);
      let answered = (): void => undefined;
      client.publish(topic, bytes, { qos, retain }, (error) => {
        answered();
        if (error instanceof Error) reject(refusedBy(topic, error));
        else resolve();
      });
      if (qos === 0) return;
      const id = client.getLastMessageId();
      answered = () => void inFlight.delete(id);
      inFlight.set(id, reject);
    });
  }

  return {
    publish: async (publication) => {
      if (publication.topic === '' || /[+#\0]/.test(publication.topic))
        throw new RangeError(`topic: "${publication.topic}" cannot be published to`);
      const refused = refusal(publication);
      if (refused !== undefined) throw refused;
      await send(publication);
    },
    linkLost: (tooLarge) => {
      if (tooLarge && largestBytes > 0) learnedLimit = largestBytes - 1;
      largestBytes = 0;
      const lost = [...inFlight];
      inFlight.clear();
      for (const [id, reject] of lost) {
        reject(new PublishError('link-lost', 'The connection closed before the acknowledgement'));
        client.removeOutgoingMessage(id);
      }
    },
  };
}
