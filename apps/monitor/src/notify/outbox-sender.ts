import type { Outbox, OutboxMessage } from '@edge-margin/store-sqlite';
import type { Logger } from 'pino';

const messagesAtATime = 100;
const retryMs = 2000;

export interface OutboxSenderOptions {
  readonly outbox: Pick<Outbox, 'pending' | 'markSent'>;
  /** Resolves when the receiver has taken the message; rejects where it cannot be sent now. */
  readonly publish: (message: OutboxMessage) => Promise<void>;
  /** False where the message can never be sent (too large, say): it is passed over, and the log says so. */
  readonly canEverSend: (message: OutboxMessage) => boolean;
  readonly isConnected: () => boolean;
  readonly now: () => number;
  readonly log: Logger;
}

/** Sends what the outbox holds, oldest first, each until its receiver has taken it. */
export class OutboxSender {
  readonly #options: OutboxSenderOptions;
  #working = false;
  #again = false;
  #stopped = false;

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
    try {
      while ((await this.#sendSome()) || this.#takeAgain());
    } catch (error) {
      this.#options.log.warn({ err: error }, 'a message could not be sent; trying again');
      setTimeout(() => this.nudge(), retryMs).unref();
    } finally {
      this.#working = false;
    }
  }

  /** True once where something came while the last messages were being sent. */
  #takeAgain(): boolean {
    const again = this.#again;
    this.#again = false;
    return again;
  }

  /** Sends up to a hundred messages; true where more may wait. */
  async #sendSome(): Promise<boolean> {
    const { canEverSend, log, now, outbox, publish } = this.#options;
    if (this.#stopped) return false;
    const messages = outbox.pending(messagesAtATime);
    for (const message of messages) {
      if (canEverSend(message)) await publish(message);
      else
        log.error(
          { topic: message.topic, bytes: message.payload.length },
          'a message is too large for the broker and was not sent',
        );
      outbox.markSent([message.id], now());
    }
    return messages.length === messagesAtATime;
  }
}
