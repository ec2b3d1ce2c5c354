import type { NewJournalRow } from '@edge-margin/telemetry';
import type { IPublishPacket } from 'mqtt';

/** The largest payload anything downstream takes. An MQTT 5 broker is told, as the largest packet; MQTT 3.1.1 has no way to say it. */
export const maximumPayloadBytes = 256 * 1024;

/**
 * The journal row of a message. A payload over the limit is kept up to one byte beyond it: the decoder refuses it by its size, as it would
 * the whole, and the journal keeps its start to look at.
 */
export function messageRow(packet: IPublishPacket, arrivedAtMs: number): NewJournalRow {
  const { topic, qos, retain, dup } = packet;
  const payload = typeof packet.payload === 'string' ? Buffer.from(packet.payload) : packet.payload;
  return {
    kind: 'message',
    arrivedAtMs,
    topic,
    payload: payload.subarray(0, maximumPayloadBytes + 1),
    qos,
    retain,
    dup,
  };
}
