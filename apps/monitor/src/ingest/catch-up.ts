/**
 * Whether messages from the past are still flowing in, so that no row may claim that time has passed.
 *
 * After a (re)connection the broker first sends what it queued meanwhile, at full speed, and nothing in MQTT marks the end of it. What ends
 * the hold, whichever comes first:
 * - our own echo comes back: a message that we published to ourselves after connecting, which the broker queued behind the backlog;
 * - nothing came for 2 s, with nothing waiting for the disk (a disk that stands still also silences the broker);
 * - 60 s have passed and the rate is that of a plant (below 1000 a second), not that of a backlog (several thousand a second measured):
 *   for brokers that do not let us publish or read the echo topic, below plants that are never silent for 2 s.
 * While there is no link time passes as ever, except for the first 30 s after the start or after a drain that was cut short.
 */
export type CatchUp =
  | { readonly phase: 'waiting'; readonly holdingSinceMs: number }
  | {
      readonly phase: 'draining';
      readonly holdingSinceMs: number;
      readonly linkUpAtMs: number;
      readonly checkedAtMs: number;
      readonly messages: number;
      readonly busyAtMs: number;
    }
  | { readonly phase: 'live' };

export type CatchUpEvent =
  | { readonly kind: 'link-up'; readonly atMs: number; readonly messages: number }
  | { readonly kind: 'link-down' }
  | { readonly kind: 'echo' }
  /** Looked at about once a second: messages received so far, and whether rows wait for the disk. */
  | { readonly kind: 'time'; readonly atMs: number; readonly messages: number; readonly pending: boolean };

const quietMs = 2000;
const longHoldMs = 60_000;
const backlogFromPerS = 1000;
const waitForLinkMs = 30_000;

/** At the start of the process. */
export function catchUpAtStart(atMs: number): CatchUp {
  return { phase: 'waiting', holdingSinceMs: atMs };
}

/** True while no tick may be appended. */
export function isHolding(catchUp: CatchUp): boolean {
  return catchUp.phase !== 'live';
}

/** One step. */
export function stepCatchUp(catchUp: CatchUp, event: CatchUpEvent): CatchUp {
  switch (event.kind) {
    case 'link-up': {
      const { atMs, messages } = event;
      const holdingSinceMs = catchUp.phase === 'live' ? atMs : catchUp.holdingSinceMs;
      return {
        phase: 'draining',
        holdingSinceMs,
        linkUpAtMs: atMs,
        checkedAtMs: atMs,
        messages,
        busyAtMs: atMs,
      };
    }
    case 'link-down':
      return catchUp.phase === 'draining'
        ? { phase: 'waiting', holdingSinceMs: catchUp.holdingSinceMs }
        : catchUp;
    case 'echo':
      return catchUp.phase === 'draining' ? { phase: 'live' } : catchUp;
    case 'time':
      return afterTime(catchUp, event);
  }
}

function afterTime(catchUp: CatchUp, event: Extract<CatchUpEvent, { kind: 'time' }>): CatchUp {
  const { atMs, messages, pending } = event;
  if (catchUp.phase === 'live') return catchUp;
  if (catchUp.phase === 'waiting')
    return atMs - catchUp.holdingSinceMs >= waitForLinkMs ? { phase: 'live' } : catchUp;
  const came = messages - catchUp.messages;
  const busyAtMs = came > 0 || pending ? atMs : catchUp.busyAtMs;
  const ratePerS = (came * 1000) / Math.max(1, atMs - catchUp.checkedAtMs);
  const isQuiet = atMs - busyAtMs >= quietMs;
  const isPlantRate = atMs - catchUp.linkUpAtMs >= longHoldMs && !pending && ratePerS < backlogFromPerS;
  return isQuiet || isPlantRate ? { phase: 'live' } : { ...catchUp, checkedAtMs: atMs, messages, busyAtMs };
}
