import type { Journal } from '@edge-margin/journal';
import type { TlsSettings } from './open-socket.js';
import type { SessionFilters } from './session-filters.js';
import type { SilenceGap } from './silence-gap.js';
import type { ExpectedSource } from './source-watch.js';

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
  /** How long the broker may take to let us in, and again to answer a subscription, ms. Default 15 s. */
  readonly answerTimeoutMs?: number;
  /** Pause before the next attempt to connect, ms, after so many failures in a row. Default `backOffMs`. */
  readonly pauseMs?: (failures: number) => number;
  /** From which messages are expected periodically; see `source-watch.ts`. */
  readonly expected?: readonly ExpectedSource[];
  /** After how long at least such a source counts as silent, ms. Default 20 s. */
  readonly silentAfterMs?: number;
  /** Where the filters of the broker's session are noted, so that what is no longer wanted can be unsubscribed. */
  readonly session?: SessionFilters;
  /** The broker runs within this process and nothing is sent without it: a lost session loses nothing. */
  readonly brokerLivesWithUs?: boolean;
  /** Told while nothing comes from an expected source, and again when something does. The same id goes on. */
  readonly onSilence?: (gap: SilenceGap) => void;
}
