import { actionsOf, openViewingActions } from '@edge-margin/access';
import type { SessionBody } from '@edge-margin/monitoring';
import type { Door } from './door.js';
import type { Session } from './sessions.js';

/** What a page is told of who is signed in and what may be done. */
export function sessionBody(door: Door, session: Session | undefined): SessionBody {
  return {
    person: session === undefined ? null : (door.people.view(session.person.id) ?? null),
    may:
      session === undefined ? (door.openViewing ? openViewingActions : []) : actionsOf(session.person.role),
    csrfToken: session?.csrfToken ?? null,
    expiresAtMs: session?.expiresAtMs ?? null,
    openViewing: door.openViewing,
    needsFirstAdministrator: !door.people.hasAdministrator(),
    demoPeople: door.demoPeople,
  };
}
