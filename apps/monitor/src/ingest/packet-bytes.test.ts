import { describe, expect, it } from 'vitest';
import { publishPacketBytes } from './packet-bytes.js';

// Expected lengths counted by hand from MQTT 5.0 and 3.1.1, clause 3.3 (fixed header, variable header, payload).
describe('the length of a PUBLISH packet', () => {
  it.each([
    ['an empty message, QoS 0, 3.1.1', 'a/b', '', 0, false, 2 + 2 + 3],
    ['QoS 1 adds the packet identifier', 'a/b', 'xy', 1, false, 2 + 2 + 3 + 2 + 2],
    ['MQTT 5 adds the property length', 'a/b', 'xy', 1, true, 2 + 2 + 3 + 2 + 1 + 2],
    ['a remaining length of 127 takes one byte', 'a', 'x'.repeat(124), 0, false, 2 + 127],
    ['a remaining length of 128 takes two bytes', 'a', 'x'.repeat(125), 0, false, 3 + 128],
    ['topics count in UTF-8', 'ü', '', 0, false, 2 + 2 + 2],
  ] as const)('%s', (_what, topic, payload, qos, isVersion5, bytes) => {
    expect(publishPacketBytes(topic, payload, qos, isVersion5)).toBe(bytes);
  });
});
