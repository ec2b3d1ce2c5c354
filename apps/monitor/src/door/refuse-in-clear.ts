import { ProblemException } from '../http/problem.js';
import type { Peer } from './peer.js';

/**
 * Refuses a password that came over a network in clear: behind a proxy that speaks plain HTTP, or does not say what it speaks.
 * @throws ProblemException 403
 */
export function refuseInClear(peer: Peer): void {
  if (peer.isEncrypted || peer.isOnThisMachine) return;
  throw new ProblemException(
    403,
    'passwords are taken over TLS only; the proxy in front must speak https and say so in X-Forwarded-Proto',
  );
}
