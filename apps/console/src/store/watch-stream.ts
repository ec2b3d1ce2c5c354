import type { LiveEvent } from '@edge-margin/monitoring';
import { streamSilentMs } from '../model/liveness.js';

/** As much of an EventSource as is used here. */
export interface EventStream {
  addEventListener: (type: string, listener: (event: { readonly data?: unknown }) => void) => void;
  close: () => void;
  readonly readyState: number;
}

export interface StreamWatch {
  readonly open: () => EventStream;
  /** Whether it makes sense to open a lost stream anew; where nobody may listen it does not. */
  readonly mayOpen: () => boolean;
  /** A clock that never jumps, ms. */
  readonly steadyMs: () => number;
  readonly onEvent: (event: LiveEvent) => void;
  readonly onLive: () => void;
  /** The line broke; the browser, or the watch, opens it anew. */
  readonly onBroken: () => void;
  /** `lastHeardMs` on the steady clock; null where nothing was ever heard. */
  readonly onLost: (lastHeardMs: number | null) => void;
}

export interface WatchedStream {
  /** To be called about once a second: notices silence, which no event ever tells. */
  readonly tick: () => void;
  readonly close: () => void;
}

const eventTypes = ['assessment', 'alarm', 'service'] as const;
/** A broken stream that has not come back after this long is lost. */
const brokenMs = 3_000;
const closedState = 2;

/**
 * Listens to the live stream and watches it: a stream that breaks and does not return within 3 s, or falls silent for 12 s, is lost, and is
 * opened anew. A half-open connection never reports an error, so silence itself is the sign.
 */
export function watchStream(watch: StreamWatch): WatchedStream {
  let stream: EventStream | null = null;
  let lost = false;
  let heardMs: number | null = null;
  let openedMs = 0;
  let brokenSinceMs: number | null = null;

  const heard = (): void => {
    heardMs = watch.steadyMs();
    brokenSinceMs = null;
    lost = false;
    watch.onLive();
  };
  const open = (): void => {
    stream?.close();
    openedMs = watch.steadyMs();
    const opened = watch.open();
    stream = opened;
    for (const type of eventTypes) {
      opened.addEventListener(type, ({ data }) => {
        if (opened !== stream) return;
        const event = parse(type, data);
        if (event === null) return;
        heard();
        watch.onEvent(event);
      });
    }
    opened.addEventListener('error', () => {
      if (opened !== stream) return;
      brokenSinceMs ??= watch.steadyMs();
      watch.onBroken();
    });
  };
  const tick = (): void => {
    const nowMs = watch.steadyMs();
    const silentMs = nowMs - (heardMs ?? 0);
    const broken = brokenSinceMs !== null && nowMs - brokenSinceMs > brokenMs;
    const silent = heardMs === null ? nowMs - openedMs > streamSilentMs : silentMs > streamSilentMs;
    if ((broken || silent) && !lost) {
      lost = true;
      watch.onLost(heardMs);
    }
    const over = stream?.readyState === closedState ? brokenMs : streamSilentMs;
    const gone = lost || stream?.readyState === closedState;
    if (gone && nowMs - openedMs > over && watch.mayOpen()) open();
  };

  open();
  return {
    tick,
    close: () => {
      stream?.close();
      stream = null;
    },
  };
}

function parse(type: LiveEvent['type'], data: unknown): LiveEvent | null {
  if (typeof data !== 'string') return null;
  try {
    return { type, data: JSON.parse(data) as unknown } as LiveEvent;
  } catch {
    return null;
  }
}
