import { connect, type MqttClient } from 'mqtt';
import type { Message } from '../instruments/message.js';

/** A broker to publish to, or the lack of one. */
export interface Broker {
  /** Resolves when the first attempt to connect has succeeded or failed: a run that begins before it would lose its first messages. */
  readonly firstAttempt: Promise<void>;
  /** Publishes with QoS 1, or counts the message as lost while there is no connection, as a plant's own source would. */
  readonly send: (message: Message) => void;
  /** Messages handed over but not yet acknowledged. */
  readonly unacknowledged: () => number;
  readonly counts: () => { readonly sent: number; readonly lost: number };
  /** Waits a moment for acknowledgements, then leaves. */
  readonly leave: () => Promise<void>;
}

const LEAVING_MS = 5000;

/** Connects, and connects again whenever the broker goes away; retained messages are then published again. */
export function openBroker(url: string, say: (text: string) => void): Broker {
  const client = connect(url, {
    protocolVersion: 4,
    clean: true,
    reconnectPeriod: 1000,
    connectTimeout: 5000,
  });
  const retained = new Map<string, Message>();
  let [sent, lost, underWay] = [0, 0, 0];
  const publish = (message: Message): void => {
    sent += 1;
    underWay += 1;
    client.publish(message.topic, message.payload, { qos: 1, retain: message.retain }, () => {
      underWay -= 1;
    });
  };
  client.on('connect', () => {
    say('connected');
    for (const message of retained.values()) publish(message);
  });
  sayOnceAnOutage(client, say);
  return {
    firstAttempt: new Promise((done) => {
      client.once('connect', () => done());
      client.once('close', () => done());
    }),
    send: (message) => {
      if (message.retain) retained.set(message.topic, message);
      if (client.connected) publish(message);
      else if (!message.retain) lost += 1;
    },
    unacknowledged: () => underWay,
    counts: () => ({ sent, lost }),
    leave: () => left(client, () => underWay),
  };
}

function sayOnceAnOutage(client: MqttClient, say: (text: string) => void): void {
  let isTold = false;
  client.on('connect', () => {
    isTold = false;
  });
  const tell = (text: string): void => {
    if (!isTold && !client.disconnecting) say(`${text}; trying again every second`);
    isTold = true;
  };
  client.on('error', (error) => {
    tell(`broker not reached: ${error.message || (error as { code?: string }).code || 'no reason given'}`);
  });
  client.on('close', () => {
    tell('connection lost');
  });
}

/** Goes on waiting as long as acknowledgements come. */
async function left(client: MqttClient, underWay: () => number): Promise<void> {
  let before = underWay();
  const watch = setInterval(() => {
    const now = underWay();
    if (now >= before) client.end(true);
    before = now;
  }, LEAVING_MS);
  await client.endAsync(!client.connected).catch(() => undefined);
  clearInterval(watch);
}
