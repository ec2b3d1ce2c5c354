import type { NewJournalRow } from '@edge-margin/telemetry';

/** How the connection to the broker stands. */
export interface LinkState {
  readonly state: 'up' | 'down';
  readonly sinceMs: number;
  /** On `up`: whether the broker had kept our session. */
  readonly sessionPresent?: boolean;
  /** On `down`: why, in words and as a code. */
  readonly detail?: string;
  readonly cause?: string;
  /** When the broker last said that another client connected under our client id. */
  readonly takenOverAtMs?: number;
  /** The connection keeps being closed soon after it came up, as when two clients use one client id. */
  readonly flapping: boolean;
  /** Ends of recent connections that lasted only shortly. */
  readonly shortLivesEndedAtMs: readonly number[];
}

export type LinkEvent =
  | { readonly kind: 'up'; readonly atMs: number; readonly sessionPresent: boolean }
  | { readonly kind: 'down'; readonly atMs: number; readonly detail: string; readonly cause?: string };

/** The next state, and the journal row where there is news. */
export interface LinkStep {
  readonly link: LinkState;
  readonly row: NewJournalRow | undefined;
}

/** Longer than the longest pause before connecting again: two clients that throw each other out live for as long as the other one waits. */
const shortLifeMs = 60_000;
const flappingWithinMs = 300_000;
const flappingFrom = 3;

/** Before the first attempt. */
export function linkAtStart(atMs: number): LinkState {
  return { state: 'down', sinceMs: atMs, flapping: false, shortLivesEndedAtMs: [] };
}

/** One step of the link. A repeated `down` is news only where its reason is another. */
export function stepLink(link: LinkState, event: LinkEvent): LinkStep {
  return event.kind === 'up' ? stepUp(link, event) : stepDown(link, event);
}

function stepUp(
  { flapping, shortLivesEndedAtMs, takenOverAtMs }: LinkState,
  { atMs, sessionPresent }: Extract<LinkEvent, { kind: 'up' }>,
): LinkStep {
  const kept = { flapping, shortLivesEndedAtMs, ...(takenOverAtMs === undefined ? {} : { takenOverAtMs }) };
  return {
    link: { state: 'up', sinceMs: atMs, sessionPresent, ...kept },
    row: { kind: 'link', arrivedAtMs: atMs, link: 'broker', state: 'up', sessionPresent },
  };
}

function stepDown(link: LinkState, event: Extract<LinkEvent, { kind: 'down' }>): LinkStep {
  const { atMs, cause } = event;
  const shortLivesEndedAtMs = shortLivesAfter(link, atMs);
  const flapping = shortLivesEndedAtMs.length >= flappingFrom;
  const takenOverAtMs = cause === takenOver ? atMs : isSettled(link, atMs) ? undefined : link.takenOverAtMs;
  const detail = flapping && cause !== takenOver ? `${event.detail}; ${flappingText}` : event.detail;
  if (link.state === 'down' && link.detail === detail) return { link, row: undefined };
  return {
    link: {
      state: 'down',
      sinceMs: link.state === 'down' ? link.sinceMs : atMs,
      detail,
      ...(cause === undefined ? {} : { cause }),
      ...(takenOverAtMs === undefined ? {} : { takenOverAtMs }),
      flapping,
      shortLivesEndedAtMs,
    },
    row: { kind: 'link', arrivedAtMs: atMs, link: 'broker', state: 'down', detail },
  };
}

/** A connection that has lasted: what made earlier ones end soon is over. */
export function isSettled(link: LinkState, atMs: number): boolean {
  return link.state === 'up' && atMs - link.sinceMs > shortLifeMs;
}

/** The cause of a `down` after which another client holds our client id. */
export const takenOver = 'taken-over';

const flappingText =
  'it keeps being closed soon after it came up: does another client use the same client id?';

function shortLivesAfter(link: LinkState, atMs: number): readonly number[] {
  if (link.state === 'down') return link.shortLivesEndedAtMs;
  if (isSettled(link, atMs)) return [];
  return [...link.shortLivesEndedAtMs, atMs].filter((endedAtMs) => atMs - endedAtMs <= flappingWithinMs);
}
