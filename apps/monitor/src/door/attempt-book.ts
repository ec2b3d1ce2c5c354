import {
  afterFailure,
  afterProof,
  afterWrongPin,
  type Budget,
  type BudgetRule,
  type Failures,
  type Familiarity,
  giveBack,
  isForgotten,
  isFull,
  isPinTaken,
  noPinFailures,
  type PinFailures,
  remainingPauseMs,
  takeOne,
} from '@edge-margin/access';

/** Attempts from where the person is not known: so many of one address, and so many of all addresses where nobody is (an eighth of a core). */
const perAddress: BudgetRule = { atOnce: 10, perSecond: 0.2 };
const inAll: BudgetRule = { atOnce: 20, perSecond: 3 };
const mostPairs = 20_000;

/** One attempt to prove who one is. */
export interface Attempt {
  readonly nameKey: string;
  readonly address: string;
  readonly familiarity: Familiarity;
  /** Somebody has been right at this address: it does not depend on what unknown ones try. */
  readonly isKnownAddress: boolean;
  readonly by: 'pin' | 'password';
}

export type Admission =
  | { readonly kind: 'go' }
  | { readonly kind: 'wait'; readonly waitMs: number }
  | { readonly kind: 'pin-rests' };

/**
 * Remembers wrong attempts, in memory and bounded. Its clock never goes back, so that a clock that is set back locks nobody out.
 * An attempt counts as wrong from its beginning until it is known to be right.
 */
export interface AttemptBook {
  readonly admit: (attempt: Attempt) => Admission;
  readonly begin: (attempt: Attempt) => void;
  readonly succeed: (attempt: Attempt) => void;
}

export function attemptBook(steadyMs: () => number): AttemptBook {
  const pairs = new Map<string, Failures>();
  const pins = new Map<string, PinFailures>();
  const addresses = new Map<string, Budget>();
  let all: Budget | undefined;
  const pairOf = ({ by, address, nameKey }: Attempt): string => `${by} ${address} ${nameKey}`;
  const budgetWaitMs = ({ address, isKnownAddress }: Attempt, nowMs: number): number => {
    const own = takeOne(addresses.get(address), perAddress, nowMs);
    if (!own.taken) return own.waitMs;
    if (!isKnownAddress) {
      const shared = takeOne(all, inAll, nowMs);
      if (!shared.taken) return shared.waitMs;
      all = shared.budget;
    }
    keep(addresses, address, own.budget, (budget) => isFull(budget, perAddress, nowMs));
    return 0;
  };
  /** Who is right takes nothing from others: a whole shift may sign in for the first time at one address. */
  const refund = ({ address, isKnownAddress }: Attempt, nowMs: number): void => {
    if (addresses.has(address)) addresses.set(address, giveBack(addresses.get(address), perAddress, nowMs));
    if (!isKnownAddress) all = giveBack(all, inAll, nowMs);
  };
  return {
    admit: (attempt) => {
      const nowMs = steadyMs();
      const { by, nameKey, address, familiarity } = attempt;
      const pauseMs = remainingPauseMs(pairs.get(pairOf(attempt)), familiarity, nowMs);
      if (pauseMs > 0) return { kind: 'wait', waitMs: pauseMs };
      if (by === 'pin' && !isPinTaken(pins.get(nameKey) ?? noPinFailures, address, familiarity))
        return { kind: 'pin-rests' };
      const waitMs = familiarity === 'familiar' ? 0 : budgetWaitMs(attempt, nowMs);
      return waitMs > 0 ? { kind: 'wait', waitMs } : { kind: 'go' };
    },
    begin: (attempt) => {
      const nowMs = steadyMs();
      const pair = pairOf(attempt);
      keep(pairs, pair, afterFailure(pairs.get(pair), nowMs), (failures) => isForgotten(failures, nowMs));
      if (attempt.by === 'pin')
        keep(
          pins,
          attempt.nameKey,
          afterWrongPin(pins.get(attempt.nameKey) ?? noPinFailures, attempt.address, attempt.familiarity),
          () => false,
        );
    },
    succeed: (attempt) => {
      pairs.delete(pairOf(attempt));
      if (attempt.familiarity === 'unfamiliar') refund(attempt, steadyMs());
      const failures = pins.get(attempt.nameKey);
      if (failures !== undefined)
        pins.set(attempt.nameKey, afterProof(failures, attempt.address, attempt.by));
    },
  };
}

/** Sets an entry; a full map first lets go of what no longer counts, then of the oldest. */
function keep<T>(map: Map<string, T>, key: string, value: T, isOver: (value: T) => boolean): void {
  map.delete(key);
  if (map.size >= mostPairs) {
    for (const [other, kept] of map) if (isOver(kept)) map.delete(other);
    const oldest = map.keys().next();
    if (map.size >= mostPairs && oldest.done !== true) map.delete(oldest.value);
  }
  map.set(key, value);
}
