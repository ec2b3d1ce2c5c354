import type { IClientOptions } from 'mqtt';
import type { BrokerClientOptions } from './broker-client-options.js';
import { forgetfulStore } from './forgetful-store.js';
import { maximumPayloadBytes } from './message-row.js';

const sessionExpiryS = 24 * 3600;
const receiveMaximum = 100;

/** How the MQTT client is set up: one persistent session, nothing resent or resubscribed behind our back. */
export function clientOptions(options: BrokerClientOptions, connectTimeoutMs: number): IClientOptions {
  const { clientId, username, password, protocolVersion, status } = options;
  const properties = {
    sessionExpiryInterval: sessionExpiryS,
    receiveMaximum,
    maximumPacketSize: maximumPayloadBytes,
  };
  return {
    clientId,
    protocolVersion,
    clean: false,
    keepalive: keepaliveOf(options),
    connectTimeout: connectTimeoutMs,
    manualConnect: true,
    reconnectOnConnackError: true,
    // We subscribe anew at each connection ourselves: the filters may have changed since the broker's session began.
    resubscribe: false,
    queueQoSZero: false,
    outgoingStore: forgetfulStore(),
    // Without one the client hands several lines a packet, with all their arguments, to a logger for its own developers, which throws them
    // away unless DEBUG is set: a tenth of all that is allocated under load. What a person needs comes as events and as reason codes.
    log: () => undefined,
    ...(username === undefined ? {} : { username }),
    ...(password === undefined ? {} : { password }),
    ...(protocolVersion === 5 ? { properties } : {}),
    ...(status === undefined ? {} : { will: willOf(status) }),
  };
}

function willOf(status: NonNullable<BrokerClientOptions['status']>): NonNullable<IClientOptions['will']> {
  return { topic: status.topic, payload: Buffer.from(status.offline), qos: 1, retain: true };
}

/** Seconds between signs of life. */
export function keepaliveOf(options: BrokerClientOptions): number {
  return options.keepaliveS ?? 60;
}
