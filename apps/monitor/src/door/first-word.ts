import { randomBytes, timingSafeEqual } from 'node:crypto';
import { hashOfRandom } from './sessions.js';

/** The one-time word with which the first administrator is made: it stands in the log, and whoever can read that owns the machine. */
export interface FirstWord {
  /** To be shown in the log; null where there is an administrator already. */
  readonly word: string | null;
  readonly isRight: (word: string) => boolean;
  /** From now on it is no word any more. */
  readonly use: () => void;
}

/** 128 random bits, valid until used or until the service ends. */
export function firstWord(hasAdministrator: boolean): FirstWord {
  const word = hasAdministrator ? null : randomBytes(16).toString('base64url');
  let isUsed = word === null;
  return {
    word,
    isRight: (given) =>
      !isUsed &&
      word !== null &&
      timingSafeEqual(Buffer.from(hashOfRandom(given)), Buffer.from(hashOfRandom(word))),
    use: () => {
      isUsed = true;
    },
  };
}
