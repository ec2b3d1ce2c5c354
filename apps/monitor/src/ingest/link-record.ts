import type { Journal } from '@edge-margin/journal';
import type { BrokerLog } from './broker-client-options.js';
import { lastSeen } from './last-seen.js';
import { linkAtStart, type LinkEvent, type LinkState, stepLink } from './link-state.js';

export interface LinkRecordOptions {
  readonly journal: Pick<Journal, 'append' | 'durable' | 'firstPosition' | 'read'>;
  readonly log: BrokerLog;
  readonly startedAtMs: number;
  /** We end the connection ourselves: that it is gone is no warning. */
  readonly isLeaving: () => boolean;
}

/** The state of the link, with every change of it in the journal and in the log. */
export interface LinkRecord {
  readonly link: () => LinkState;
  /** Adds what a process that was killed could not say: that its connection ended. To be called before the first connection. */
  readonly takeUp: () => void;
  /** A connection stood before, in this process or in one before it. */
  readonly wasUpBefore: () => boolean;
  /** True where there is news. */
  readonly follow: (event: LinkEvent) => boolean;
}

export function recordLink({ journal, log, startedAtMs, isLeaving }: LinkRecordOptions): LinkRecord {
  let link: LinkState = linkAtStart(startedAtMs);
  let wasUpBefore = false;

  function tell({ state, detail, sessionPresent, flapping }: LinkState): void {
    if (state === 'up') log.info({ sessionPresent }, 'connected to the broker');
    else if (isLeaving()) log.info({ detail }, 'disconnected from the broker');
    else log.warn({ detail, flapping }, 'no connection to the broker');
  }

  return {
    link: () => link,
    takeUp: () => {
      const seen = lastSeen(journal);
      if (seen === undefined) return;
      wasUpBefore = true;
      link = linkAtStart(seen.atMs);
      if (!seen.saidGoodbye)
        journal.append({
          kind: 'link',
          arrivedAtMs: seen.atMs,
          link: 'broker',
          state: 'down',
          detail: 'the service ended without saying so',
        });
    },
    wasUpBefore: () => wasUpBefore,
    follow: (event) => {
      const next = stepLink(link, event);
      link = next.link;
      wasUpBefore ||= link.state === 'up';
      if (next.row === undefined) return false;
      journal.append(next.row);
      tell(link);
      return true;
    },
  };
}
