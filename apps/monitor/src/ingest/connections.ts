import type { Journal } from '@edge-margin/journal';
import type { Reason } from '@edge-margin/units';
import type { MqttClient } from 'mqtt';
import { Duplex } from 'node:stream';
import {
  type Attempt,
  closedWithoutWord,
  type ConnectionError,
  connectionFailure,
  type ConnectionPhase,
} from './connection-failure.js';
import { createGate, type Gate, type GateJournal } from './gate.js';
import { stopped } from './link-reasons.js';
import { type BrokerAddress, openSocket, type TlsSettings } from './open-socket.js';

export interface ConnectionsOptions {
  readonly address: BrokerAddress;
  readonly tls: TlsSettings;
  readonly journal: GateJournal & Pick<Journal, 'failure'>;
  /** See `createGate`. */
  readonly maxPendingBytes: number;
  readonly patienceMs: number;
  /** How long the broker may take to let us in, ms. */
  readonly answerTimeoutMs: number;
  /** Pause before the next attempt, ms, after so many failures in a row. */
  readonly pauseMs: (failures: number) => number;
}

/** The connections to a broker, one after the other: how far the present one has come, and why the last one ended. */
export interface Connections {
  /** Begins the next: what the MQTT client reads and writes. */
  readonly open: (client: Pick<MqttClient, 'options'>) => Duplex;
  /** The broker has let us in. */
  readonly isUp: () => void;
  /** Whatever it was, the connection cannot be trusted any more: it is cut, and what it held back comes again. The first reason holds. */
  readonly giveUp: (because: Reason) => void;
  /** As `giveUp`, for an error of the socket, of TLS or of the MQTT client. */
  readonly failed: (error: ConnectionError) => void;
  /**
   * The connection is closed.
   * @param lastedMs how long we were let in, 0 where we were not
   * @returns why it is
   */
  readonly closed: (lastedMs: number) => Reason;
  /** From here on we end it ourselves. */
  readonly leave: () => void;
  readonly stopReading: () => void;
  readonly cut: () => void;
  /** When the certificate ends by which the broker has last proven itself, epoch ms; undefined where it has not. */
  readonly brokerCertificateEndsAtMs: () => number | undefined;
}

/** A connection that lasted so long counts as good: the next failure starts from the shortest pause. */
const goodAfterMs = 30_000;

export function createConnections(options: ConnectionsOptions): Connections {
  const { address, tls, journal, maxPendingBytes, patienceMs, answerTimeoutMs, pauseMs } = options;
  let gate: Gate | undefined;
  let phase: ConnectionPhase = 'connecting';
  let failures = 0;
  let failure: Reason | undefined;
  let brokerCertificateEndsAtMs: number | undefined;

  function open(client: Pick<MqttClient, 'options'>): Duplex {
    client.options.reconnectPeriod = pauseMs(failures);
    failures += 1;
    phase = 'connecting';
    gate = undefined;
    const journalFailure = journal.failure();
    if (journalFailure !== undefined) return failedStream(journalFailure);
    const socket = openSocket(address, tls, {
      onConnected: () => (phase = address.isTls ? 'securing' : 'introducing'),
      onSecured: (endsAtMs) => {
        phase = 'introducing';
        brokerCertificateEndsAtMs = endsAtMs;
      },
    });
    gate = createGate({ socket, journal, maxPendingBytes, patienceMs });
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

  function giveUp(because: Reason): void {
    failure ??= because;
    gate?.stream.destroy();
  }

  return {
    open,
    isUp: () => {
      failure = undefined;
      phase = 'up';
    },
    giveUp,
    failed: (error) => giveUp(connectionFailure(error, attempt())),
    closed: (lastedMs) => {
      const because = failure ?? closedWithoutWord(attempt());
      failure = undefined;
      if (lastedMs >= goodAfterMs) failures = 0;
      return because;
    },
    leave: () => (failure = stopped),
    stopReading: () => gate?.stopReading(),
    cut: () => gate?.stream.destroy(),
    brokerCertificateEndsAtMs: () => brokerCertificateEndsAtMs,
  };
}

/** While the journal fails there is no point in connecting: every message would come and go unacknowledged. */
function failedStream(failure: Error): Duplex {
  const stream = new Duplex({ read: () => undefined, write: (_chunk, _encoding, done) => done() });
  return stream.destroy(Object.assign(new Error(failure.message), { code: 'JOURNAL_FAILING' }));
}
