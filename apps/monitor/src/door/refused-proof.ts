import { ProblemException } from '../http/problem.js';
import type { Proof } from './proofs.js';

/** The answer to somebody who did not prove who they are: the same for wrong names and wrong secrets. */
export function refusedProof(
  proof: Exclude<Proof, { ok: true }>,
  pointer: string,
  wrongWords: string,
  wrongStatus: 400 | 401 = 401,
): ProblemException {
  if (proof.because === 'wait') {
    const waitS = Math.max(1, Math.ceil(proof.waitMs / 1000));
    return new ProblemException(
      429,
      'too many wrong tries; whoever is signed in already can still act',
      undefined,
      { 'Retry-After': String(waitS) },
    );
  }
  const words =
    proof.because === 'pin-rests'
      ? 'after too many wrong PINs only the password is taken here; it makes the PIN good again'
      : wrongWords;
  return new ProblemException(wrongStatus, words, [{ pointer, detail: words }]);
}
