/**
 * Length of a PUBLISH packet without properties, bytes (MQTT 5.0, 3.3: fixed header, topic, packet identifier, property length, payload;
 * MQTT 3.1.1, 3.3: the same without the property length).
 */
export function publishPacketBytes(
  topic: string,
  payload: string | Uint8Array,
  qos: 0 | 1,
  isVersion5: boolean,
): number {
  const remaining =
    2 + Buffer.byteLength(topic) + (qos > 0 ? 2 : 0) + (isVersion5 ? 1 : 0) + Buffer.byteLength(payload);
  return 1 + remainingLengthBytes(remaining) + remaining;
}

/** Seven bits a byte (MQTT 5.0, 1.5.5). */
function remainingLengthBytes(remaining: number): number {
  if (remaining < 128) return 1;
  if (remaining < 16_384) return 2;
  return remaining < 2_097_152 ? 3 : 4;
}
