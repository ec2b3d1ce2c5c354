import type { NewJournalRow } from '@edge-margin/telemetry';

/** How the connection to the broker stands. */
export interface LinkState {
  readonly state: 'up' | 'down';
  readonly sinceMs: number;
  /** On `up`: whether the broker had kept our session. */
  readonly sessionPresent?: boolean;
  /** On `down`: why. */
  readonly detail?: string;
  /** The connection keeps being closed soon after it came up, as when two clients use one client id. */
  readonly flapping: boolean;
  /** Ends of recent connections that lasted only shortly. */
  readonly shortLivesEndedAtMs: readonly number[];
}

export type LinkEvent =
  | { readonly kind: 'up'; readonly atMs: number; readonly sessionPresent: boolean }
  | { readonly kind: 'down'; readonly atMs: number; readonly detail: string };

/** The next state, and the journal row where there is news. */
export interface LinkStep {
  readonly link: LinkState;
  readonly row: NewJournalRow | undefined;
}

const shortLifeMs = 15_000;
const flappingWithinMs = 120_000;
const flappingFrom = 3;

/** Before the first attempt. */
export function linkAtStart(atMs: number): LinkState {
  return { state: 'down', sinceMs: atMs, flapping: false, shortLivesEndedAtMs: [] };
}

/** One step of the link. A repeated `down` is news only where its reason is another. */
export function stepLink(link: LinkState, event: LinkEvent): LinkStep {
  const { atMs } = event;
  const common = { kind: 'link', arrivedAtMs: atMs, link: 'broker' } as const;
  if (event.kind === 'up') {
    const { sessionPresent } = event;
    const { flapping, shortLivesEndedAtMs } = link;
    return {
      link: { state: 'up', sinceMs: atMs, sessionPresent, flapping, shortLivesEndedAtMs },
      row: { ...common, state: 'up', sessionPresent },
    };
  }
  const shortLivesEndedAtMs = shortLivesAfter(link, atMs);
  const flapping = shortLivesEndedAtMs.length >= flappingFrom;
  const detail = flapping ? `${event.detail}; ${flappingText}` : event.detail;
  if (link.state === 'down' && link.detail === detail) return { link, row: undefined };
  const sinceMs = link.state === 'down' ? link.sinceMs : atMs;
  return {
    link: { state: 'down', sinceMs, detail, flapping, shortLivesEndedAtMs },
    row: { ...common, state: 'down', detail },
  };
}

const flappingText =
  'it keeps being closed soon after it came up: does another client use the same client id?';

function shortLivesAfter(link: LinkState, atMs: number): readonly number[] {
  if (link.state === 'down') return link.shortLivesEndedAtMs;
  if (atMs - link.sinceMs > shortLifeMs) return [];
  return [...link.shortLivesEndedAtMs, atMs].filter((endedAtMs) => atMs - endedAtMs <= flappingWithinMs);
}
