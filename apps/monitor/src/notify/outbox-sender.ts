import type { Outbox, OutboxMessage } from '@edge-margin/store-sqlite';
import type { Logger } from 'pino';
import { PublishError } from '../ingest/publisher.js';

const messagesAtATime = 100;
const retryMs = 2000;
/** What the broker refuses is a matter of rights or of its settings: people have to change something first. */
const refusedRetryMs = 30_000;

export interface OutboxSenderOptions {
  readonly outbox: Pick<Outbox, 'pending' | 'markSent'>;
  /** Resolves when the receiver has taken the message; rejects with a PublishError where it cannot be sent. */
  readonly publish: (message: OutboxMessage) => Promise<void>;
  readonly isConnected: () => boolean;
  readonly now: () => number;
  readonly log: Logger;
}

/**
 * Sends what the outbox holds, oldest first, each until its receiver has taken it.
 *
 * A message that is larger than the broker takes can never be sent: it is passed over, and the log says so. One that the broker refuses stays,
 * and with it all later ones of its topic, so that a listener never sees an older state after a newer one; other topics go on.
 */
export class OutboxSender {
  readonly #options: OutboxSenderOptions;
  #working = false;
  #again = false;
  #stopped = false;
  /** Topics that the broker refused in this pass. */
  #refused = new Set<string>();

  constructor(options: OutboxSenderOptions) {
    this.#options = options;
  }

  /** Something may be waiting. */
  nudge(): void {
    if (this.#stopped || !this.#options.isConnected()) return;
    if (this.#working) this.#again = true;
    else void this.#work();
  }

  stop(): void {
    this.#stopped = true;
  }

  async #work(): Promise<void> {
    this.#working = true;
    this.#refused = new Set();
    try {
      while ((await this.#sendSome()) || this.#takeAgain());
      if (this.#refused.size > 0) this.#tryLater(refusedRetryMs);
    } catch (error) {
      this.#options.log.warn({ err: error }, 'a message could not be sent; trying again');
      this.#tryLater(retryMs);
    } finally {
      this.#working = false;
    }
  }

  #tryLater(afterMs: number): void {
    setTimeout(() => this.nudge(), afterMs).unref();
  }

  /** True once where something came while the last messages were being sent. */
  #takeAgain(): boolean {
    const again = this.#again;
    this.#again = false;
    return again;
  }

  /** Sends up to a hundred messages; true where some left and more may wait. */
  async #sendSome(): Promise<boolean> {
    const { outbox, now } = this.#options;
    if (this.#stopped) return false;
    const messages = outbox.pending(messagesAtATime);
    let done = 0;
    for (const message of messages) {
      if (this.#refused.has(message.topic) || !(await this.#send(message))) continue;
      outbox.markSent([message.id], now());
      done += 1;
    }
    return messages.length === messagesAtATime && done > 0;
  }

  /** True where the message is dealt with: sent, or never to be sent. */
  async #send(message: OutboxMessage): Promise<boolean> {
    const { log, publish } = this.#options;
    try {
      await publish(message);
      return true;
    } catch (error) {
      const code = error instanceof PublishError ? error.code : undefined;
      if (code !== 'too-large' && code !== 'refused') throw error;
      const { topic } = message;
      if (code === 'too-large') {
        log.error({ topic, err: error }, 'a message is too large for the broker and was not sent');
        return true;
      }
      this.#refused.add(topic);
      log.warn({ topic, err: error }, 'the broker does not take a message; trying again later');
      return false;
    }
  }
}
