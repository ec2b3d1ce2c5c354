import type { Familiarity } from './attempt-pause.js';

/**
 * Wrong PINs of one person since a password or a right PIN last proved who it is. A PIN has few digits, so that pauses alone would let it be
 * guessed: after ten wrong ones in a row at one screen, or thirty at screens where the person is not known, the PIN rests there
 * and the password is asked for, which always works. At screens where the person is known the PIN goes on working whatever is tried elsewhere.
 */
export interface PinFailures {
  readonly byAddress: Readonly<Record<string, number>>;
  readonly unfamiliar: number;
}

const mostAtOneAddress = 10;
const mostUnfamiliar = 30;

/** None so far. */
export const noPinFailures: PinFailures = { byAddress: {}, unfamiliar: 0 };

/** Whether a PIN is taken from this address. */
export function isPinTaken(failures: PinFailures, address: string, familiarity: Familiarity): boolean {
  if ((failures.byAddress[address] ?? 0) >= mostAtOneAddress) return false;
  return familiarity === 'familiar' || failures.unfamiliar < mostUnfamiliar;
}

/** One more wrong PIN. Unfamiliar addresses beyond the limit are refused before they come here, so that the record stays small. */
export function afterWrongPin(failures: PinFailures, address: string, familiarity: Familiarity): PinFailures {
  return {
    byAddress: { ...failures.byAddress, [address]: (failures.byAddress[address] ?? 0) + 1 },
    unfamiliar: failures.unfamiliar + (familiarity === 'unfamiliar' ? 1 : 0),
  };
}

/** A right PIN proves the person at this address only; a password proves the person everywhere. */
export function afterProof(failures: PinFailures, address: string, by: 'pin' | 'password'): PinFailures {
  if (by === 'password') return noPinFailures;
  return { byAddress: { ...failures.byAddress, [address]: 0 }, unfamiliar: failures.unfamiliar };
}
