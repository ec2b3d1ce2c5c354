import type { ActingPerson } from '@edge-margin/monitoring';
import type { Request } from 'express';
import { z } from 'zod';
import { ProblemException } from '../http/problem.js';
import { parseWith } from '../http/parse-with.js';
import type { Door } from './door.js';
import { refusedProof } from './refused-proof.js';
import { givenName, givenSecret } from './texts.js';
import type { Visitor } from './visitor.js';

const acting = z.looseObject({
  acting: z.strictObject({ name: givenName, secret: givenSecret }).optional(),
}) satisfies z.ZodType<{ acting?: ActingPerson | undefined }>;

/**
 * Who acts: the visitor, or the person whom the body names and proves at a screen that may look.
 * @throws ProblemException where it is not proved.
 */
export async function actingPerson(visitor: Visitor, request: Request, door: Door): Promise<Visitor> {
  const { principal, peer } = visitor;
  const given = parseWith(acting, request.body ?? {}).acting;
  if (given === undefined) {
    if (principal.kind !== 'nobody' || !door.openViewing) return visitor;
    throw new ProblemException(401, 'nobody is signed in at this screen; say who acts', [
      {
        pointer: '/acting',
        detail: 'nothing was given; the name of who acts and their PIN or password are right',
      },
    ]);
  }
  if (principal.kind === 'key')
    throw new ProblemException(400, 'a key acts for itself; leave acting out', [
      { pointer: '/acting', detail: 'leave it out with a key' },
    ]);
  if (principal.kind === 'nobody' && !door.openViewing) return visitor;
  const proof = await door.proofs.prove({ ...given, address: peer.address, accepts: 'password or PIN' });
  const { method, originalUrl } = request;
  if (!proof.ok) {
    door.audit.note({
      what: 'acting-refused',
      subject: proof.name,
      from: peer.address,
      detail: proof.because,
    });
    throw refusedProof(proof, '/acting/secret', 'name and PIN or password do not belong together');
  }
  const detail = `${method} ${originalUrl.slice(0, 300)}`;
  door.audit.note({ what: 'acting', actor: proof.person.name, from: peer.address, detail });
  return { peer, principal: { kind: 'acting', person: proof.person } };
}
