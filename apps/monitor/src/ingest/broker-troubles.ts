import type { Reason } from '@edge-margin/units';
import type { LinkTrouble, LinkTroubleCode } from './link-trouble.js';
import { type LinkFacts, linkTroubles } from './link-troubles.js';
import { publishFaults } from './publish-faults.js';
import type { Publication } from './publisher.js';
import { type Loss, recentLosses } from './recent-losses.js';
import { undecidedTroubles } from './undecided-troubles.js';

/** What the other parts of the client know at an instant. */
export type KnownFacts = Omit<LinkFacts, 'losses' | 'publishFaults'>;

export interface BrokerTroublesOptions {
  readonly publish: (publication: Publication) => Promise<void>;
  readonly facts: () => KnownFacts;
  /** Epoch ms. */
  readonly now: () => number;
}

/** What is wrong on the broker's side, with what has to be remembered for it: losses, and what could not be published. */
export interface BrokerTroubles {
  /** Publishes, and remembers where the broker does not take it. */
  readonly publish: (publication: Publication) => Promise<void>;
  /** Messages are known to be lost since an instant, epoch ms. */
  readonly lost: (code: Loss['code'], because: Reason, fromMs: number) => void;
  /** What is wrong now, the worst first. */
  readonly now: () => readonly LinkTrouble[];
  /** Of which troubles nobody can tell yet whether they are there. */
  readonly undecided: () => readonly LinkTroubleCode[];
}

export function createBrokerTroubles({ publish, facts, now }: BrokerTroublesOptions): BrokerTroubles {
  const losses = recentLosses();
  const faults = publishFaults();
  return {
    publish: async (publication) => {
      try {
        await publish(publication);
        faults.published(publication.topic);
      } catch (error) {
        faults.failed(publication.topic, error, now());
        throw error;
      }
    },
    lost: (code, because, fromMs) => losses.add({ code, fromMs, atMs: now(), because }),
    now: () => {
      const known = facts();
      const { atMs } = known;
      return linkTroubles({ ...known, losses: losses.now(atMs), publishFaults: faults.now(atMs) });
    },
    undecided: () => undecidedTroubles(facts()),
  };
}
