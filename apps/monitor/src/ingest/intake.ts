import type { Journal } from '@edge-margin/journal';
import type { IPublishPacket } from 'mqtt';
import { maximumPayloadBytes, messageRow } from './message-row.js';
import type { SourceWatch } from './source-watch.js';

export interface Received {
  readonly messages: number;
  /** Of these, larger than anything downstream takes. */
  readonly oversize: number;
  readonly lastAtMs: number | undefined;
}

/** Takes messages into the journal, and counts them. */
export interface Intake {
  readonly take: (packet: IPublishPacket, atMs: number) => void;
  readonly received: () => Received;
}

export function createIntake(journal: Pick<Journal, 'append'>, sources: Pick<SourceWatch, 'take'>): Intake {
  let received: Received = { messages: 0, oversize: 0, lastAtMs: undefined };
  return {
    take: (packet, atMs) => {
      const isOversize = packet.payload.length > maximumPayloadBytes;
      received = {
        messages: received.messages + 1,
        oversize: received.oversize + (isOversize ? 1 : 0),
        lastAtMs: atMs,
      };
      // A retained message is the broker's memory: it does not say that its sender lives.
      if (!packet.retain) sources.take(packet.topic, atMs);
      journal.append(messageRow(packet, atMs));
    },
    received: () => received,
  };
}
