import { normalPassword } from '@edge-margin/access';
import { hash, type Options, verify } from '@node-rs/argon2';
import { randomBytes } from 'node:crypto';
import { availableParallelism } from 'node:os';
import { hashLanes, type Lane } from './hash-lanes.js';

/**
 * Argon2id (the library's default kind) with 19 MiB, two passes, one lane.
 * Source: OWASP Password Storage Cheat Sheet, first choice of parameters; RFC 9106.
 */
const cost: Options = { memoryCost: 19_456, timeCost: 2, parallelism: 1, outputLen: 32 };

/** Hashes passwords and PINs off the event loop, in bounded number. */
export interface PasswordHashes {
  readonly make: (secret: string) => Promise<string>;
  readonly hasRoom: (lane: Lane, address: string) => boolean;
  /** Whether the secret is the one of the hash; the same work where there is no hash, so that an answer's time tells nothing. */
  readonly matches: (
    stored: string | null,
    secret: string,
    from: { readonly lane: Lane; readonly address: string },
  ) => Promise<boolean>;
}

export async function passwordHashes(): Promise<PasswordHashes> {
  const lanes = hashLanes({
    // Half of the cores at most, and never all threads of the pool that files are read with.
    atOnce: Math.min(2, Math.max(1, Math.floor(availableParallelism() / 2))),
    waiting: { familiar: 32, unfamiliar: 16 },
    waitingPerAddress: 4,
  });
  const nobodys = await hash(randomBytes(16), cost);
  return {
    make: (secret) => lanes.run('familiar', 'own', () => hash(normalPassword(secret), cost)),
    hasRoom: lanes.hasRoom,
    matches: async (stored, secret, { lane, address }) => {
      const isRight = await lanes.run(lane, address, () => verify(stored ?? nobodys, normalPassword(secret)));
      return stored !== null && isRight;
    },
  };
}
