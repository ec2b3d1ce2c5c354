import type { IPublishPacket } from 'mqtt';
import { type CatchUp, type CatchUpEvent, catchUpAtStart, isHolding, stepCatchUp } from './catch-up.js';
import type { Publication } from './publisher.js';

export interface BacklogEchoOptions {
  /** A topic of our own; without one a backlog is over when nothing more comes. */
  readonly topic: string | undefined;
  readonly publish: (publication: Publication) => void;
  readonly newWord: () => string;
  /** Epoch ms. */
  readonly now: () => number;
}

/** Finds where the broker's backlog ends, by an echo of our own behind it (see `catch-up.ts`). */
export interface BacklogEcho {
  readonly linkUp: (atMs: number, messages: number) => void;
  readonly linkDown: () => void;
  /** Sends the echo, once the broker has answered our subscription. */
  readonly send: () => void;
  /** True where the message is an echo: it is nobody else's business. */
  readonly take: (packet: Pick<IPublishPacket, 'topic' | 'payload'>) => boolean;
  /** To be called about once a second. */
  readonly look: (seen: {
    readonly atMs: number;
    readonly messages: number;
    readonly pending: boolean;
    readonly connected: boolean;
  }) => void;
  readonly isCatchingUp: () => boolean;
}

/** An echo is lost where the broker's queue for us was full: it is sent again. */
const againMs = 5000;

export function createBacklogEcho({ topic, publish, newWord, now }: BacklogEchoOptions): BacklogEcho {
  let catchUp: CatchUp = catchUpAtStart(now());
  let echo = { word: '', sentAtMs: 0 };

  function step(event: CatchUpEvent): void {
    catchUp = stepCatchUp(catchUp, event);
  }

  function send(word: string): void {
    if (topic === undefined) return;
    echo = { word, sentAtMs: now() };
    publish({ topic, payload: word, retain: false, qos: 1 });
  }

  return {
    linkUp: (atMs, messages) => step({ kind: 'link-up', atMs, messages }),
    linkDown: () => step({ kind: 'link-down' }),
    send: () => send(newWord()),
    take: (packet) => {
      if (packet.topic !== topic) return false;
      if (packet.payload.toString() === echo.word) step({ kind: 'echo' });
      return true;
    },
    look: ({ atMs, messages, pending, connected }) => {
      step({ kind: 'time', atMs, messages, pending });
      if (connected && catchUp.phase === 'draining' && echo.word !== '' && atMs - echo.sentAtMs >= againMs)
        send(echo.word);
    },
    isCatchingUp: () => isHolding(catchUp),
  };
}
