import type { Reason } from '@edge-margin/units';
import { type IConnackPacket, type IPublishPacket, MqttClient, type Packet } from 'mqtt';
import { randomUUID } from 'node:crypto';
import { backOffMs } from './back-off.js';
import { createBacklogEcho } from './backlog-echo.js';
import type { BrokerClientOptions } from './broker-client-options.js';
import { createBrokerTroubles, type KnownFacts } from './broker-troubles.js';
import { clientOptions, keepaliveOf } from './client-options.js';
import { createConnections } from './connections.js';
import { createIntake, type Received } from './intake.js';
import { leaveBroker } from './leave-broker.js';
import { recordLink } from './link-record.js';
import { causeOf, disconnectedBy, sessionForgotten, subscriptionUnanswered } from './link-reasons.js';
import type { LinkState } from './link-state.js';
import type { LinkTrouble, LinkTroubleCode } from './link-trouble.js';
import { brokerAddress } from './open-socket.js';
import { createPublisher, packetTooLarge, type Publication } from './publisher.js';
import { watchSilence } from './silence-watch.js';
import { createSubscriber } from './subscriber.js';
import { requireTopicFilters, type Subscriptions } from './subscriptions.js';
import { troubleNews } from './trouble-news.js';

export type { Received } from './intake.js';

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
  /** What is wrong on the broker's side now, the worst first; empty where all is well. */
  readonly trouble: () => readonly LinkTrouble[];
  /** Of which troubles nobody can tell now whether they are there: that `trouble` does not name them says nothing. */
  readonly undecided: () => readonly LinkTroubleCode[];
  /** Messages are known to be lost: told by `trouble` for a while. */
  readonly noteLost: (because: Reason, fromMs: number) => void;
  /** Calls on every change of the link's state, its reason, the subscriptions or the troubles. Returns how to stop. */
  readonly onChange: (listener: () => void) => () => void;
}

/**
 * A client for plain topics whose acknowledgement of a message means that it is in the journal, on disk.
 *
 * It keeps one persistent session at QoS 1, appends a `message` row a message and a `link` row a change of the connection, comes back by
 * itself with growing pauses, and holds bytes back by the gate. A message is always acknowledged, whatever is in it: what it means is
 * decided later, from the journal.
 */
export function createBrokerClient(options: BrokerClientOptions): BrokerClient {
  const { journal, now, log, echoTopic, clientId, status, tls = {} } = options;
  const random = options.random ?? Math.random;
  const answerTimeoutMs = options.answerTimeoutMs ?? 15_000;
  requireTopicFilters(options.subscriptions);
  const listeners = new Set<() => void>();
  const isNews = troubleNews(log);
  let messagesSeen = 0;
  let stopped = false;
  let watch: NodeJS.Timeout | undefined;

  const connections = createConnections({
    address: brokerAddress(options.url),
    tls,
    journal,
    maxPendingBytes: options.maxPendingBytes ?? 8 * 1024 * 1024,
    patienceMs: keepaliveOf(options) * 500,
    answerTimeoutMs,
    pauseMs: options.pauseMs ?? ((failures) => backOffMs(failures, random())),
  });
  const record = recordLink({ journal, log, startedAtMs: now(), isLeaving: () => watch === undefined });
  const sources = watchSilence({
    expected: options.expected ?? [],
    silentAfterMs: options.silentAfterMs,
    onSilence: options.onSilence,
    log,
  });
  const intake = createIntake(journal, sources);
  const client = new MqttClient(connections.open, clientOptions(options, answerTimeoutMs));
  const publisher = createPublisher(client);
  const troubles = createBrokerTroubles({ publish: publisher.publish, facts, now });
  const echo = createBacklogEcho({
    topic: echoTopic,
    publish: publishQuietly,
    newWord: randomUUID,
    now,
  });
  const subscriber = createSubscriber({
    client,
    filters: echoTopic === undefined ? options.subscriptions : [...options.subscriptions, echoTopic],
    session: options.session,
    now,
    log,
    onAnswer: () => {
      sources.listenFrom(now());
      changed();
      echo.send();
    },
  });
  client.handleMessage = (packet, done) => {
    take(packet);
    done();
  };
  client.on('packetreceive', (packet) => {
    if (packet.cmd === 'connack' && isAccepted(packet)) linkUp(packet.sessionPresent);
  });
  client.on('connect', ({ sessionPresent }) => introduceOurselves(sessionPresent));
  client.on('disconnect', ({ reasonCode = 0 }) => connections.giveUp(disconnectedBy(reasonCode, clientId)));
  client.on('error', connections.failed);
  client.on('close', linkDown);

  function take(packet: IPublishPacket): void {
    if (!stopped && !echo.take(packet)) intake.take(packet, now());
  }

  function linkUp(sessionPresent: boolean): void {
    connections.isUp();
    const atMs = now();
    const isKept = sessionPresent || options.brokerLivesWithUs === true;
    if (!isKept && record.wasUpBefore())
      troubles.lost('session-lost', sessionForgotten, record.link().sinceMs);
    echo.linkUp(atMs, intake.received().messages);
    if (record.follow({ kind: 'up', atMs, sessionPresent: isKept })) changed();
  }

  function linkDown(): void {
    const atMs = now();
    const { state, sinceMs } = record.link();
    const { text, params } = connections.closed(state === 'up' ? atMs - sinceMs : 0);
    publisher.linkLost(params['cause'] === causeOf(packetTooLarge));
    subscriber.end();
    sources.stopListening();
    sources.look(atMs);
    echo.linkDown();
    const cause = String(params['cause'] ?? 'other');
    if (record.follow({ kind: 'down', atMs, detail: text, cause })) changed();
  }

  function changed(): void {
    for (const listener of listeners) listener();
  }

  function introduceOurselves(sessionPresent: boolean): void {
    subscriber.begin(sessionPresent);
    if (status !== undefined)
      publishQuietly({ topic: status.topic, payload: status.online, retain: true, qos: 1 });
  }

  function publishQuietly(publication: Publication): void {
    troubles.publish(publication).catch((error: unknown) => {
      log.warn({ topic: publication.topic, detail: (error as Error).message }, 'could not publish');
    });
  }

  function lookAfter(): void {
    const atMs = now();
    const pending = journal.durable() < journal.lastPosition();
    const { connected } = client;
    echo.look({ atMs, messages: intake.received().messages, pending, connected });
    if (connected) lookAfterConnection(atMs, pending);
    sources.look(atMs);
    if (isNews(troubles.now())) changed();
  }

  function lookAfterConnection(atMs: number, pending: boolean): void {
    // While nothing can be written nothing is read: that nothing comes says nothing then.
    if (journal.failure() !== undefined && subscriber.waitingSinceMs() === undefined)
      sources.listenFrom(atMs);
    const { messages } = intake.received();
    if (pending || messages > messagesSeen) subscriber.heard(atMs);
    messagesSeen = messages;
    subscriber.lookAfter(atMs);
    if (atMs - (subscriber.waitingSinceMs() ?? atMs) > answerTimeoutMs)
      connections.giveUp(subscriptionUnanswered(answerTimeoutMs));
  }

  function facts(): KnownFacts {
    const atMs = now();
    const ends = [
      ['broker', connections.brokerCertificateEndsAtMs()],
      ['own', tls.certEndsAtMs],
    ] as const;
    return {
      atMs,
      clientId,
      link: record.link(),
      subscriptions: subscriber.outcome(),
      unansweredSinceMs: subscriber.unansweredSinceMs(),
      subscribedAtMs: subscriber.subscribedAtMs(),
      silent: sources.silent(),
      watched: sources.count,
      isStillListening: sources.isStillListening(atMs),
      certificates: ends.flatMap(([whose, endsAtMs]) =>
        endsAtMs === undefined ? [] : [{ whose, endsAtMs }],
      ),
    };
  }

  async function stop(): Promise<void> {
    if (watch === undefined) return;
    clearInterval(watch);
    watch = undefined;
    connections.leave();
    const lastWord =
      status === undefined
        ? undefined
        : ({ topic: status.topic, payload: status.offline, retain: true, qos: 1 } as const);
    await leaveBroker({ client, connections, lastWord, publish: publisher.publish });
    stopped = true;
  }

  return {
    start: () => {
      if (watch !== undefined) return;
      record.takeUp();
      watch = setInterval(lookAfter, 1000);
      client.connect();
    },
    stop,
    publish: troubles.publish,
    link: record.link,
    subscriptions: subscriber.outcome,
    isCatchingUp: echo.isCatchingUp,
    received: intake.received,
    trouble: troubles.now,
    undecided: troubles.undecided,
    noteLost: (because, fromMs) => troubles.lost('messages-lost', because, fromMs),
    onChange: (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
  };
}

function isAccepted(packet: Extract<Packet, IConnackPacket>): boolean {
  return (packet.reasonCode ?? packet.returnCode) === 0;
}
