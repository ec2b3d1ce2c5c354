import type { Journal } from '@edge-margin/journal';
import { type IClientOptions, type IConnackPacket, type IPublishPacket, MqttClient, type Packet } from 'mqtt';
import { randomUUID } from 'node:crypto';
import { Duplex } from 'node:stream';
import { backOffMs } from './back-off.js';
import { type CatchUp, type CatchUpEvent, catchUpAtStart, isHolding, stepCatchUp } from './catch-up.js';
import { forgetfulStore } from './forgetful-store.js';
import { createGate, type Gate } from './gate.js';
import { linkAtStart, type LinkEvent, type LinkState, stepLink } from './link-state.js';
import { maximumPayloadBytes, messageRow } from './message-row.js';
import { brokerAddress, openSocket, type TlsSettings } from './open-socket.js';
import { createPublisher, type Publication } from './publisher.js';
import { requireTopicFilters, subscribeTo, type Subscriptions } from './subscriptions.js';

/** What the client says to the log. */
export interface BrokerLog {
  readonly info: (fields: object, text: string) => void;
  readonly warn: (fields: object, text: string) => void;
}

export interface BrokerClientOptions {
  /** `mqtt://host[:1883]` or `mqtts://host[:8883]`. */
  readonly url: string;
  readonly username?: string;
  readonly password?: string;
  readonly tls?: TlsSettings;
  /** Fixed: the broker keeps our session under it. Two clients with the same id throw each other out. */
  readonly clientId: string;
  /** Topic filters. They should not overlap: a broker may send one copy a filter. */
  readonly subscriptions: readonly string[];
  /** 5, or 4 (MQTT 3.1.1) for brokers that refuse 5. */
  readonly protocolVersion: 4 | 5;
  readonly journal: Journal;
  /** Epoch ms. */
  readonly now: () => number;
  readonly log: BrokerLog;
  /** From 0 up to 1. */
  readonly random?: () => number;
  /** Retained word on whether this service is there: `online` after each connection, `offline` at the stop and, as the will, when we vanish. */
  readonly status?: { readonly topic: string; readonly online: string; readonly offline: string };
  /** A topic of our own, which we may publish and subscribe to: tells where the backlog ends (see `catch-up.ts`). Never journaled. */
  readonly echoTopic?: string;
  /** Default 60. */
  readonly keepaliveS?: number;
  /** Nothing more is read from the broker while more than this waits for the disk. Default 8 MiB. */
  readonly maxPendingBytes?: number;
}

export interface BrokerClient {
  readonly start: () => void;
  /** Says `offline`, waits for what is held back, at most some seconds, and disconnects. The journal must stay open until it resolves. */
  readonly stop: () => Promise<void>;
  readonly publish: (publication: Publication) => Promise<void>;
  readonly link: () => LinkState;
  /** What the broker granted and refused at the last connection. */
  readonly subscriptions: () => Subscriptions;
  readonly isCatchingUp: () => boolean;
  readonly received: () => Received;
  /** Calls on every change of the link's state, its reason or the subscriptions. Returns how to stop. */
  readonly onChange: (listener: () => void) => () => void;
}

export interface Received {
  readonly messages: number;
  /** Of these, larger than anything downstream takes. */
  readonly oversize: number;
  readonly lastAtMs: number | undefined;
}

const sessionExpiryS = 24 * 3600;
const receiveMaximum = 100;
const stopPatienceMs = 5000;
/** A connection that lasted so long counts as good: the next failure starts from the shortest pause. */
const goodAfterMs = 30_000;
const resubscribeMs = 60_000;
const echoAgainMs = 5000;

/**
 * A client for plain topics whose acknowledgement of a message means that it is in the journal, on disk.
 *
 * It keeps one persistent session at QoS 1, appends a `message` row a message and a `link` row a change of the connection, comes back by
 * itself with growing pauses, and holds bytes back by the gate. A message is always acknowledged, whatever is in it: what it means is
 * decided later, from the journal.
 */
export function createBrokerClient(options: BrokerClientOptions): BrokerClient {
  const { journal, now, log, echoTopic } = options;
  const random = options.random ?? Math.random;
  const address = brokerAddress(options.url);
  requireTopicFilters(options.subscriptions);
  const listeners = new Set<() => void>();
  let link: LinkState = linkAtStart(now());
  let catchUp: CatchUp = catchUpAtStart(now());
  let subscriptions: Subscriptions = { granted: [], refused: [] };
  let received: Received = { messages: 0, oversize: 0, lastAtMs: undefined };
  let gate: Gate | undefined;
  let stopped = false;
  let failures = 0;
  let reason: string | undefined;
  let echo = { word: '', sentAtMs: 0 };
  let subscribedAtMs = 0;
  let watch: NodeJS.Timeout | undefined;

  const client = new MqttClient(openGate, clientOptions(options));
  const publisher = createPublisher(client);
  client.handleMessage = (packet, done) => {
    take(packet);
    done();
  };
  client.on('packetreceive', (packet) => {
    if (packet.cmd === 'connack' && isAccepted(packet)) linkUp(packet.sessionPresent);
  });
  client.on('connect', introduceOurselves);
  client.on(
    'disconnect',
    ({ reasonCode }) => (reason = `the broker disconnected us (${hex(reasonCode ?? 0)})`),
  );
  client.on('error', (error) => {
    reason = describe(error);
    // Whatever it was, the connection cannot be trusted any more. What it held back comes again.
    gate?.stream.destroy();
  });
  client.on('close', () => linkDown(reason ?? 'the connection was closed'));

  function openGate(): Duplex {
    client.options.reconnectPeriod = backOffMs(failures, random());
    failures += 1;
    const failure = journal.failure();
    gate = undefined;
    if (failure !== undefined) return failedStream(failure);
    gate = createGate({
      socket: openSocket(address, options.tls),
      journal,
      maxPendingBytes: options.maxPendingBytes ?? 8 * 1024 * 1024,
      patienceMs: keepaliveS(options) * 500,
    });
    return gate.stream;
  }

  function take(packet: IPublishPacket): void {
    if (stopped) return;
    if (packet.topic === echoTopic) {
      if (packet.payload.toString() === echo.word) step({ kind: 'echo' });
      return;
    }
    const atMs = now();
    const isOversize = packet.payload.length > maximumPayloadBytes;
    received = {
      messages: received.messages + 1,
      oversize: received.oversize + (isOversize ? 1 : 0),
      lastAtMs: atMs,
    };
    journal.append(messageRow(packet, atMs));
  }

  function linkUp(sessionPresent: boolean): void {
    reason = undefined;
    // What was granted before says nothing about this connection.
    subscriptions = { granted: [], refused: [] };
    const atMs = now();
    step({ kind: 'link-up', atMs, messages: received.messages });
    follow({ kind: 'up', atMs, sessionPresent });
  }

  function linkDown(detail: string): void {
    reason = undefined;
    const atMs = now();
    if (link.state === 'up' && atMs - link.sinceMs >= goodAfterMs) failures = 0;
    publisher.linkLost();
    step({ kind: 'link-down' });
    follow({ kind: 'down', atMs, detail });
  }

  function follow(event: LinkEvent): void {
    const next = stepLink(link, event);
    link = next.link;
    if (next.row === undefined) return;
    journal.append(next.row);
    const { state, detail, sessionPresent, flapping } = link;
    if (state === 'up') log.info({ sessionPresent }, 'connected to the broker');
    else if (watch === undefined) log.info({ detail }, 'disconnected from the broker');
    else log.warn({ detail, flapping }, 'no connection to the broker');
    changed();
  }

  function step(event: CatchUpEvent): void {
    catchUp = stepCatchUp(catchUp, event);
  }

  function changed(): void {
    for (const listener of listeners) listener();
  }

  function introduceOurselves(): void {
    subscribe();
    const { status } = options;
    if (status !== undefined)
      publishQuietly({ topic: status.topic, payload: status.online, retain: true, qos: 1 });
  }

  function subscribe(): void {
    const filters = echoTopic === undefined ? options.subscriptions : [...options.subscriptions, echoTopic];
    subscribedAtMs = now();
    subscribeTo(client, filters, (outcome) => {
      subscriptions = outcome;
      if (outcome.refused.length > 0)
        log.warn({ refused: outcome.refused }, 'the broker refused subscriptions');
      changed();
      sendEcho(randomUUID());
    });
  }

  function sendEcho(word: string): void {
    if (echoTopic === undefined) return;
    echo = { word, sentAtMs: now() };
    publishQuietly({ topic: echoTopic, payload: word, retain: false, qos: 1 });
  }

  function publishQuietly(publication: Publication): void {
    publisher.publish(publication).catch((error: unknown) => {
      log.warn({ topic: publication.topic, detail: describe(error as Error) }, 'could not publish');
    });
  }

  function lookAfter(): void {
    const atMs = now();
    const pending = journal.durable() < journal.lastPosition();
    step({ kind: 'time', atMs, messages: received.messages, pending });
    if (!client.connected) return;
    // An echo is lost where the broker's queue for us was full.
    if (catchUp.phase === 'draining' && echo.word !== '' && atMs - echo.sentAtMs >= echoAgainMs)
      sendEcho(echo.word);
    if (subscriptions.refused.length > 0 && atMs - subscribedAtMs >= resubscribeMs) subscribe();
  }

  async function stop(): Promise<void> {
    if (watch === undefined) return;
    clearInterval(watch);
    watch = undefined;
    const { status } = options;
    reason = 'stopped';
    const deadline = setTimeout(() => gate?.stream.destroy(), stopPatienceMs);
    if (client.connected && status !== undefined) {
      const last = { topic: status.topic, payload: status.offline, retain: true, qos: 1 } as const;
      await publisher.publish(last).catch(() => undefined);
    }
    // The client would wait for ever for answers that cannot come any more.
    while (client.connected && Object.keys(client.outgoing).length > 0) await pause(10);
    gate?.stopReading();
    // What was read is handled and acknowledged within this turn; only then may the stream end.
    await pause(0);
    await client.endAsync(!client.connected);
    stopped = true;
    clearTimeout(deadline);
  }

  return {
    start: () => {
      watch ??= setInterval(lookAfter, 1000);
      client.connect();
    },
    stop,
    publish: publisher.publish,
    link: () => link,
    subscriptions: () => subscriptions,
    isCatchingUp: () => isHolding(catchUp),
    received: () => received,
    onChange: (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
  };
}

function clientOptions(options: BrokerClientOptions): IClientOptions {
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
    keepalive: keepaliveS(options),
    manualConnect: true,
    reconnectOnConnackError: true,
    // We subscribe anew at each connection ourselves: the filters may have changed since the broker's session began.
    resubscribe: false,
    queueQoSZero: false,
    outgoingStore: forgetfulStore(),
    ...(username === undefined ? {} : { username }),
    ...(password === undefined ? {} : { password }),
    ...(protocolVersion === 5 ? { properties } : {}),
    ...(status === undefined ? {} : { will: willOf(status) }),
  };
}

function willOf(status: NonNullable<BrokerClientOptions['status']>): NonNullable<IClientOptions['will']> {
  return { topic: status.topic, payload: Buffer.from(status.offline), qos: 1, retain: true };
}

function keepaliveS(options: BrokerClientOptions): number {
  return options.keepaliveS ?? 60;
}

/** While the journal fails there is no point in connecting: every message would come and go unacknowledged. */
function failedStream(failure: Error): Duplex {
  const stream = new Duplex({ read: () => undefined, write: (_chunk, _encoding, done) => done() });
  return stream.destroy(Object.assign(new Error(failure.message), { code: 'JOURNAL_FAILING' }));
}

function isAccepted(packet: Extract<Packet, IConnackPacket>): boolean {
  return (packet.reasonCode ?? packet.returnCode) === 0;
}

function describe(error: Error & { readonly code?: unknown }): string {
  const code =
    typeof error.code === 'number' ? hex(error.code) : typeof error.code === 'string' ? error.code : '';
  if (error.message === '') return code;
  return code === '' || error.message.includes(code) ? error.message : `${error.message} (${code})`;
}

function hex(code: number): string {
  return `0x${code.toString(16).padStart(2, '0').toUpperCase()}`;
}

function pause(ms: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ms));
}
