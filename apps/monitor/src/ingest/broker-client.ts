import type { Reason } from '@edge-margin/units';
import { type IConnackPacket, type IPublishPacket, MqttClient, type Packet } from 'mqtt';
import { randomUUID } from 'node:crypto';
import { Duplex } from 'node:stream';
import { backOffMs } from './back-off.js';
import type { BrokerClientOptions } from './broker-client-options.js';
import { type CatchUp, type CatchUpEvent, catchUpAtStart, isHolding, stepCatchUp } from './catch-up.js';
import { clientOptions, keepaliveOf } from './client-options.js';
import {
  type Attempt,
  closedWithoutWord,
  connectionFailure,
  type ConnectionPhase,
} from './connection-failure.js';
import { createGate, type Gate } from './gate.js';
import { lastSeen } from './last-seen.js';
import {
  causeOf,
  disconnectedBy,
  sessionForgotten,
  stopped as stoppedByUs,
  subscriptionUnanswered,
} from './link-reasons.js';
import { linkAtStart, type LinkEvent, type LinkState, stepLink } from './link-state.js';
import type { LinkTrouble } from './link-trouble.js';
import { linkTroubles } from './link-troubles.js';
import { maximumPayloadBytes, messageRow } from './message-row.js';
import { brokerAddress, openSocket } from './open-socket.js';
import { publishFaults } from './publish-faults.js';
import { createPublisher, packetTooLarge, type Publication } from './publisher.js';
import { recentLosses } from './recent-losses.js';
import { watchSilence } from './silence-watch.js';
import { createSubscriber } from './subscriber.js';
import { requireTopicFilters, type Subscriptions } from './subscriptions.js';
import { troubleNews } from './trouble-news.js';

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
  /** Messages are known to be lost: told by `trouble` for a while. */
  readonly noteLost: (because: Reason, fromMs: number) => void;
  /** Calls on every change of the link's state, its reason, the subscriptions or the troubles. Returns how to stop. */
  readonly onChange: (listener: () => void) => () => void;
}

export interface Received {
  readonly messages: number;
  /** Of these, larger than anything downstream takes. */
  readonly oversize: number;
  readonly lastAtMs: number | undefined;
}

const stopPatienceMs = 5000;
/** A connection that lasted so long counts as good: the next failure starts from the shortest pause. */
const goodAfterMs = 30_000;
const echoAgainMs = 5000;

/**
 * A client for plain topics whose acknowledgement of a message means that it is in the journal, on disk.
 *
 * It keeps one persistent session at QoS 1, appends a `message` row a message and a `link` row a change of the connection, comes back by
 * itself with growing pauses, and holds bytes back by the gate. A message is always acknowledged, whatever is in it: what it means is
 * decided later, from the journal.
 */
export function createBrokerClient(options: BrokerClientOptions): BrokerClient {
  const { journal, now, log, echoTopic, clientId, tls = {} } = options;
  const random = options.random ?? Math.random;
  const pauseMs = options.pauseMs ?? ((failures: number) => backOffMs(failures, random()));
  const answerTimeoutMs = options.answerTimeoutMs ?? 15_000;
  const address = brokerAddress(options.url);
  requireTopicFilters(options.subscriptions);
  const listeners = new Set<() => void>();
  const losses = recentLosses();
  const faults = publishFaults();
  const sources = watchSilence({
    expected: options.expected ?? [],
    silentAfterMs: options.silentAfterMs,
    onSilence: options.onSilence,
    log,
  });
  const isNews = troubleNews(log);
  let link: LinkState = linkAtStart(now());
  /** A connection stood before, in this process or in one before it. */
  let wasUpBefore = false;
  let catchUp: CatchUp = catchUpAtStart(now());
  let received: Received = { messages: 0, oversize: 0, lastAtMs: undefined };
  let messagesSeen = 0;
  let gate: Gate | undefined;
  let phase: ConnectionPhase = 'connecting';
  let brokerCertificateEndsAtMs: number | undefined;
  let stopped = false;
  let failures = 0;
  let failure: Reason | undefined;
  let echo = { word: '', sentAtMs: 0 };
  let watch: NodeJS.Timeout | undefined;

  const client = new MqttClient(openGate, clientOptions(options, answerTimeoutMs));
  const publisher = createPublisher(client);
  const subscriber = createSubscriber({
    client,
    filters: echoTopic === undefined ? options.subscriptions : [...options.subscriptions, echoTopic],
    session: options.session,
    now,
    log,
    onAnswer: () => {
      sources.listenFrom(now());
      changed();
      sendEcho(randomUUID());
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
  client.on('disconnect', ({ reasonCode = 0 }) => giveUp(disconnectedBy(reasonCode, clientId)));
  client.on('error', (error) => giveUp(connectionFailure(error, attempt())));
  client.on('close', () => linkDown(failure ?? closedWithoutWord(attempt())));

  function openGate(): Duplex {
    client.options.reconnectPeriod = pauseMs(failures);
    failures += 1;
    phase = 'connecting';
    const journalFailure = journal.failure();
    gate = undefined;
    if (journalFailure !== undefined) return failedStream(journalFailure);
    const socket = openSocket(address, tls, {
      onConnected: () => (phase = address.isTls ? 'securing' : 'introducing'),
      onSecured: (endsAtMs) => {
        phase = 'introducing';
        brokerCertificateEndsAtMs = endsAtMs;
      },
    });
    gate = createGate({
      socket,
      journal,
      maxPendingBytes: options.maxPendingBytes ?? 8 * 1024 * 1024,
      patienceMs: keepaliveOf(options) * 500,
    });
    return gate.stream;
  }

  function attempt(): Attempt {
    const { ca, cert } = tls;
    return {
      address,
      phase,
      hasCa: ca !== undefined,
      hasCertificate: cert !== undefined,
      connectTimeoutMs: answerTimeoutMs,
    };
  }

  /** Whatever it was, the connection cannot be trusted any more. What it held back comes again. */
  function giveUp(because: Reason): void {
    failure ??= because;
    gate?.stream.destroy();
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
    // A retained message is the broker's memory: it does not say that its sender lives.
    if (!packet.retain) sources.take(packet.topic, atMs);
    journal.append(messageRow(packet, atMs));
  }

  function linkUp(sessionPresent: boolean): void {
    failure = undefined;
    phase = 'up';
    const atMs = now();
    const isKept = sessionPresent || options.brokerLivesWithUs === true;
    if (!isKept && wasUpBefore)
      losses.add({ code: 'session-lost', fromMs: link.sinceMs, atMs, because: sessionForgotten });
    wasUpBefore = true;
    step({ kind: 'link-up', atMs, messages: received.messages });
    follow({ kind: 'up', atMs, sessionPresent: isKept });
  }

  function linkDown({ text, params }: Reason): void {
    failure = undefined;
    const atMs = now();
    if (link.state === 'up' && atMs - link.sinceMs >= goodAfterMs) failures = 0;
    publisher.linkLost(params['cause'] === causeOf(packetTooLarge));
    subscriber.end();
    sources.stopListening();
    sources.look(atMs);
    step({ kind: 'link-down' });
    follow({ kind: 'down', atMs, detail: text, cause: String(params['cause'] ?? 'other') });
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

  function introduceOurselves(sessionPresent: boolean): void {
    subscriber.begin(sessionPresent);
    const { status } = options;
    if (status !== undefined)
      publishQuietly({ topic: status.topic, payload: status.online, retain: true, qos: 1 });
  }

  function sendEcho(word: string): void {
    if (echoTopic === undefined) return;
    echo = { word, sentAtMs: now() };
    publishQuietly({ topic: echoTopic, payload: word, retain: false, qos: 1 });
  }

  async function publish(publication: Publication): Promise<void> {
    try {
      await publisher.publish(publication);
      faults.published(publication.topic);
    } catch (error) {
      faults.failed(publication.topic, error, now());
      throw error;
    }
  }

  function publishQuietly(publication: Publication): void {
    publish(publication).catch((error: unknown) => {
      log.warn({ topic: publication.topic, detail: (error as Error).message }, 'could not publish');
    });
  }

  function lookAfter(): void {
    const atMs = now();
    const pending = journal.durable() < journal.lastPosition();
    step({ kind: 'time', atMs, messages: received.messages, pending });
    if (client.connected) lookAfterConnection(atMs, pending);
    sources.look(atMs);
    if (isNews(trouble())) changed();
  }

  function lookAfterConnection(atMs: number, pending: boolean): void {
    // An echo is lost where the broker's queue for us was full.
    if (catchUp.phase === 'draining' && echo.word !== '' && atMs - echo.sentAtMs >= echoAgainMs)
      sendEcho(echo.word);
    // While nothing can be written nothing is read: that nothing comes says nothing then.
    if (journal.failure() !== undefined && subscriber.waitingSinceMs() === undefined)
      sources.listenFrom(atMs);
    if (pending || received.messages > messagesSeen) subscriber.heard(atMs);
    messagesSeen = received.messages;
    subscriber.lookAfter(atMs);
    if (atMs - (subscriber.waitingSinceMs() ?? atMs) > answerTimeoutMs)
      giveUp(subscriptionUnanswered(answerTimeoutMs));
  }

  function trouble(): readonly LinkTrouble[] {
    const atMs = now();
    const { certEndsAtMs } = tls;
    return linkTroubles({
      atMs,
      clientId,
      link,
      subscriptions: subscriber.outcome(),
      unansweredSinceMs: subscriber.unansweredSinceMs(),
      subscribedAtMs: subscriber.subscribedAtMs(),
      silent: sources.silent(),
      watched: sources.count,
      losses: losses.now(atMs),
      publishFaults: faults.now(atMs),
      certificates: [
        ...(brokerCertificateEndsAtMs === undefined
          ? []
          : [{ whose: 'broker', endsAtMs: brokerCertificateEndsAtMs } as const]),
        ...(certEndsAtMs === undefined ? [] : [{ whose: 'own', endsAtMs: certEndsAtMs } as const]),
      ],
    });
  }

  /** What a process that was killed could not say: that its connection ended. */
  function takeUpFromJournal(): void {
    const seen = lastSeen(journal);
    if (seen === undefined) return;
    wasUpBefore = true;
    link = linkAtStart(seen.atMs);
    if (!seen.saidGoodbye)
      journal.append({
        kind: 'link',
        arrivedAtMs: seen.atMs,
        link: 'broker',
        state: 'down',
        detail: 'the service ended without saying so',
      });
  }

  async function stop(): Promise<void> {
    if (watch === undefined) return;
    clearInterval(watch);
    watch = undefined;
    const { status } = options;
    failure = stoppedByUs;
    let giveUp = (): void => undefined;
    const patienceOver = new Promise<void>((resolve) => (giveUp = resolve));
    const deadline = setTimeout(() => {
      gate?.stream.destroy();
      giveUp();
    }, stopPatienceMs);
    if (client.connected && status !== undefined) {
      const last = { topic: status.topic, payload: status.offline, retain: true, qos: 1 } as const;
      await publisher.publish(last).catch(() => undefined);
    }
    // The client would wait for ever for answers that cannot come any more.
    while (client.connected && Object.keys(client.outgoing).length > 0) await pause(10);
    gate?.stopReading();
    // What was read is handled and acknowledged within this turn; only then may the stream end.
    await pause(0);
    // What others published within that turn may wait for an answer that cannot come any more, and the client would wait with it for ever.
    await Promise.race([client.endAsync(!client.connected), patienceOver]);
    stopped = true;
    clearTimeout(deadline);
  }

  return {
    start: () => {
      if (watch !== undefined) return;
      takeUpFromJournal();
      watch = setInterval(lookAfter, 1000);
      client.connect();
    },
    stop,
    publish,
    link: () => link,
    subscriptions: subscriber.outcome,
    isCatchingUp: () => isHolding(catchUp),
    received: () => received,
    trouble,
    noteLost: (because, fromMs) => losses.add({ code: 'messages-lost', fromMs, atMs: now(), because }),
    onChange: (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
  };
}

/** While the journal fails there is no point in connecting: every message would come and go unacknowledged. */
function failedStream(failure: Error): Duplex {
  const stream = new Duplex({ read: () => undefined, write: (_chunk, _encoding, done) => done() });
  return stream.destroy(Object.assign(new Error(failure.message), { code: 'JOURNAL_FAILING' }));
}

function isAccepted(packet: Extract<Packet, IConnackPacket>): boolean {
  return (packet.reasonCode ?? packet.returnCode) === 0;
}

function pause(ms: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ms));
}
