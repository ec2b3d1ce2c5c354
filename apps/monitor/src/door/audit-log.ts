import { type Budget, type BudgetRule, takeOne } from '@edge-margin/access';
import type { AuditRecords } from '@edge-margin/store-sqlite';
import type { Logger } from 'pino';

/** What can be found in the audit. */
export type AuditWord =
  | 'sign-in'
  | 'sign-in-refused'
  | 'sign-out'
  | 'acting'
  | 'acting-refused'
  | 'first-administrator'
  | 'first-administrator-refused'
  | 'person-made'
  | 'person-changed'
  | 'password-changed'
  | 'password-change-refused'
  | 'pin-changed'
  | 'pin-change-refused'
  | 'key-made'
  | 'key-ended'
  | 'key-refused';

export interface AuditNote {
  readonly actor?: string | null;
  readonly what: AuditWord;
  readonly subject?: string | null;
  readonly from: string;
  readonly detail?: string;
}

/** Writes down what happens at the door, into the audit and the log. Takes names and addresses, never what was typed as a secret or as an unknown name. */
export interface AuditLog {
  readonly note: (entry: AuditNote) => void;
  /** Forgets what is older than it needs to be. */
  readonly keepHouse: () => void;
}

/** Refusals beyond this are counted, and told with the next one: somebody who hammers must not push out a year of entries. */
const refusals: BudgetRule = { atOnce: 60, perSecond: 1 / 30 };
/** More than a year of refusals at that rate, and as many other entries. */
export const mostAuditRows = 2_500_000;

export function auditLog(parts: {
  readonly records: AuditRecords;
  readonly log: Logger;
  readonly now: () => number;
  /** Entries that are older are forgotten, ms. */
  readonly keptMs: number;
  /** What their age is measured from: never a clock that has jumped, epoch ms. */
  readonly knownTime: () => number;
}): AuditLog {
  const { records, log, now, keptMs, knownTime } = parts;
  let budget: Budget | undefined;
  let untold = 0;
  const write = (entry: AuditNote, detail: string | null): void => {
    const { actor = null, what, subject = null, from } = entry;
    const isRefusal = what.endsWith('-refused');
    log.info({ what, actor, subject, from, detail }, 'door');
    try {
      records.add({ atMs: now(), actor, what, subject, from, detail }, isRefusal ? 'may wait' : 'synced');
    } catch (error) {
      // Who may in may not depend on whether there is room to write it down; the log has it.
      log.error({ err: error }, 'the audit could not be written');
    }
  };
  return {
    note: (entry) => {
      if (!entry.what.endsWith('-refused')) {
        write(entry, entry.detail ?? null);
        return;
      }
      const take = takeOne(budget, refusals, now());
      budget = take.budget;
      if (!take.taken) {
        untold += 1;
        return;
      }
      const more = untold === 0 ? '' : `; ${untold} more refusals before this one are not listed`;
      untold = 0;
      const detail = `${entry.detail ?? ''}${more}`.replace(/^; /, '');
      write(entry, detail === '' ? null : detail);
    },
    keepHouse: () => void records.forget(knownTime() - keptMs, mostAuditRows, 5000),
  };
}
