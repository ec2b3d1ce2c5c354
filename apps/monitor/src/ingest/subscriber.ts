import type { MqttClient } from 'mqtt';
import type { BrokerLog } from './broker-client-options.js';
import type { SessionFilters } from './session-filters.js';
import { subscribeTo, type Subscriptions } from './subscriptions.js';

export interface SubscriberOptions {
  readonly client: MqttClient;
  readonly filters: readonly string[];
  /** What the broker's session may hold from before. */
  readonly session: SessionFilters | undefined;
  readonly now: () => number;
  readonly log: BrokerLog;
  /** The broker has answered. */
  readonly onAnswer: (outcome: Subscriptions) => void;
}

export interface Subscriber {
  /** Subscribes on a connection that has just come up. */
  readonly begin: (sessionPresent: boolean) => void;
  /** The connection is gone. */
  readonly end: () => void;
  /** Subscribes again where something was refused a minute ago. To be called about once a second while connected. */
  readonly lookAfter: (atMs: number) => void;
  /** Messages come, or wait for the disk: the answer may stand behind a backlog (Mosquitto sends that first), so the wait begins anew. */
  readonly heard: (atMs: number) => void;
  /** What the broker granted and refused on this connection. */
  readonly outcome: () => Subscriptions;
  /** When the last request was sent; 0 where none was. */
  readonly subscribedAtMs: () => number;
  /** The same over several connections. */
  readonly unansweredSinceMs: () => number | undefined;
  /** Since when a request on this connection is unanswered, with nothing else coming either. */
  readonly waitingSinceMs: () => number | undefined;
}

const resubscribeMs = 60_000;
const nothing: Subscriptions = { granted: [], refused: [] };

/** Keeps the broker's session subscribed to these filters, and to no others. */
export function createSubscriber(options: SubscriberOptions): Subscriber {
  const { client, filters, session, now, log } = options;
  let outcome = nothing;
  let sentAtMs = 0;
  let waitingSinceMs: number | undefined;
  let unansweredSinceMs: number | undefined;
  let left: readonly string[] = [];

  function subscribe(): void {
    sentAtMs = now();
    waitingSinceMs = sentAtMs;
    unansweredSinceMs ??= sentAtMs;
    subscribeTo(client, filters, answered);
  }

  function answered(answer: Subscriptions): void {
    outcome = answer;
    waitingSinceMs = undefined;
    unansweredSinceMs = undefined;
    if (answer.refused.length > 0) log.warn({ refused: answer.refused }, 'the broker refused subscriptions');
    // Only now: nothing that both the old and the new filters take is missed in between.
    if (left.length > 0) unsubscribe(left);
    options.onAnswer(answer);
  }

  function unsubscribe(filtersLeft: readonly string[]): void {
    left = [];
    client.unsubscribe([...filtersLeft], (error, packet) => {
      const codes = packet !== undefined && 'granted' in packet ? (packet.granted as readonly number[]) : [];
      if (error instanceof Error || codes.some((code) => code >= 0x80)) {
        log.warn({ filters: filtersLeft, codes }, 'the broker keeps subscriptions that are no longer wanted');
        return;
      }
      log.info({ filters: filtersLeft }, 'unsubscribed what the plant file no longer names');
      remember(filters);
    });
  }

  function remember(held: readonly string[]): void {
    try {
      session?.write(held);
    } catch (error) {
      log.warn({ err: error }, 'what we are subscribed to could not be noted');
    }
  }

  return {
    begin: (sessionPresent) => {
      const before = sessionPresent ? (session?.read() ?? []) : [];
      left = before.filter((filter) => !filters.includes(filter));
      remember([...filters, ...left]);
      subscribe();
    },
    end: () => {
      outcome = nothing;
      waitingSinceMs = undefined;
    },
    lookAfter: (atMs) => {
      if (outcome.refused.length > 0 && atMs - sentAtMs >= resubscribeMs) subscribe();
    },
    heard: (atMs) => {
      if (waitingSinceMs === undefined) return;
      waitingSinceMs = atMs;
      unansweredSinceMs = atMs;
    },
    outcome: () => outcome,
    subscribedAtMs: () => sentAtMs,
    unansweredSinceMs: () => unansweredSinceMs,
    waitingSinceMs: () => waitingSinceMs,
  };
}
