/** Reason codes of MQTT 5.0 (section 2.4 and the tables of CONNACK, SUBACK, PUBACK and DISCONNECT) in words that say what to look at. */
const version5: Readonly<Record<number, string>> = {
  0x04: 'it was told to publish our will',
  0x80: 'it gives no reason',
  0x81: 'it could not read what we sent',
  0x82: 'it takes what we sent for a breach of the protocol',
  0x83: 'something of its own forbids it',
  0x84: 'it does not speak MQTT 5',
  0x85: 'it does not take our client id (MQTT_CLIENT_ID)',
  0x86: 'bad user name or password (MQTT_USERNAME, MQTT_PASSWORD_FILE)',
  0x87: 'not authorised: user name, password, client certificate or access list',
  0x88: 'it is not available',
  0x89: 'it is busy',
  0x8a: 'it has banned us',
  0x8b: 'it is shutting down',
  0x8c: 'it wants another way of authentication',
  0x8d: 'it had not heard from us for too long',
  0x8e: 'another client connected under our client id',
  0x8f: 'it does not take this topic filter',
  0x90: 'it does not take this topic',
  0x93: 'more was under way than it takes at a time',
  0x95: 'a packet was larger than it takes',
  0x96: 'too many messages at a time',
  0x97: 'a quota is used up',
  0x98: 'somebody who administers it did this',
  0x99: 'it does not take this payload',
  0x9a: 'it keeps no retained messages',
  0x9b: 'it does not offer QoS 1',
  0x9c: 'another broker is to be used (MQTT_URL)',
  0x9d: 'it has moved (MQTT_URL)',
  0x9e: 'it offers no shared subscriptions',
  0x9f: 'we connect too often',
  0xa0: 'connections may last only so long there',
  0xa1: 'it offers no subscription identifiers',
  0xa2: 'it takes no filters with wildcards',
};

/** Return codes of CONNACK in MQTT 3.1.1 (table 3.1). */
const version4: Readonly<Record<number, string>> = {
  1: 'it does not speak MQTT 3.1.1',
  2: 'it does not take our client id (MQTT_CLIENT_ID)',
  3: 'it is not available',
  4: 'bad user name or password (MQTT_USERNAME, MQTT_PASSWORD_FILE)',
  5: 'not authorised: user name, password, client certificate or access list',
};

/** What a broker means by a code, with the code. */
export function wordsOfCode(code: number): string {
  const words = code < 0x80 ? (version4[code] ?? version5[code]) : version5[code];
  return words === undefined ? hex(code) : `${words} (${hex(code)})`;
}

/** `0x8E`, as the standard writes it. */
export function hex(code: number): string {
  return `0x${code.toString(16).padStart(2, '0').toUpperCase()}`;
}
