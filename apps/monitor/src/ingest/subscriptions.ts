import type { ClientSubscribeCallback, MqttClient } from 'mqtt';

/** What a broker made of our topic filters. */
export interface Subscriptions {
  readonly granted: readonly string[];
  /** With the reason code (MQTT 5.0, 3.9.3; in MQTT 3.1.1 always 0x80). */
  readonly refused: readonly { readonly filter: string; readonly reasonCode: number }[];
}

/**
 * Refuses what is no topic filter (MQTT 5.0, 4.7.1: `+` and `#` each fill a whole level, `#` only the last).
 * @throws RangeError naming the filter.
 */
export function requireTopicFilters(filters: readonly string[]): void {
  for (const filter of filters) {
    const levels = filter.split('/');
    const isWrong = (level: string, index: number): boolean =>
      (/[+#]/.test(level) && level.length > 1) || (level === '#' && index < levels.length - 1);
    if (filter === '' || filter.includes('\0') || levels.some(isWrong))
      throw new RangeError(`subscriptions: "${filter}" is no topic filter`);
  }
}

/** Whether a message on the topic comes with the filter (MQTT 5.0, 4.7.1 and 4.7.2). */
export function filterTakes(filter: string, topic: string): boolean {
  const wanted = filter.split('/');
  const levels = topic.split('/');
  if (topic.startsWith('$') && /^[+#]/.test(filter)) return false;
  for (const [index, level] of wanted.entries()) {
    if (level === '#') return true;
    if (level !== '+' && level !== levels[index]) return false;
    if (levels[index] === undefined) return false;
  }
  return wanted.length === levels.length;
}

/**
 * Subscribes at QoS 1. Under MQTT 5 retained messages come only with a subscription that is new to the session (retain handling 1); under
 * 3.1.1 they come each time.
 * @param settled Told once the broker has answered; not at all where the connection closes before.
 */
export function subscribeTo(
  client: MqttClient,
  filters: readonly string[],
  settled: (outcome: Subscriptions) => void,
): void {
  if (filters.length === 0) {
    settled({ granted: [], refused: [] });
    return;
  }
  const options = client.options.protocolVersion === 5 ? ({ qos: 1, rh: 1 } as const) : ({ qos: 1 } as const);
  const answered: ClientSubscribeCallback = (_error, _granted, packet) => {
    if (packet !== undefined) settled(outcomeOf(filters, packet.granted as number[]));
  };
  client.subscribe([...filters], options, answered);
}

function outcomeOf(filters: readonly string[], codes: readonly number[]): Subscriptions {
  const answered = filters.map((filter, index) => ({ filter, reasonCode: codes[index] ?? 0x80 }));
  return {
    granted: answered.filter(({ reasonCode }) => reasonCode < 0x80).map(({ filter }) => filter),
    refused: answered.filter(({ reasonCode }) => reasonCode >= 0x80),
  };
}
