import { type Action, may, openViewingActions } from '@edge-margin/access';
import type { KeyHolder } from './keys.js';
import type { Person } from './people.js';
import type { Session } from './sessions.js';

/** Who asks. `acting`: a person who confirmed one action at a screen where somebody else, or nobody, is signed in. */
export type Principal =
  | { readonly kind: 'nobody' }
  | { readonly kind: 'person'; readonly session: Session }
  | { readonly kind: 'key'; readonly key: KeyHolder }
  | { readonly kind: 'acting'; readonly person: Person };

/** The person who asks, where it is one. */
export function personOf(principal: Principal): Person | undefined {
  if (principal.kind === 'person') return principal.session.person;
  return principal.kind === 'acting' ? principal.person : undefined;
}

/** The name that is journaled: never a text of the request. */
export function actorOf(principal: Principal): string | null {
  return principal.kind === 'key' ? principal.key.label : (personOf(principal)?.name ?? null);
}

/** Whether the table of roles, the scope of the key, or open viewing allows it. */
export function isAllowed(principal: Principal, action: Action, openViewing: boolean): boolean {
  if (principal.kind === 'key') return principal.key.actions.includes(action);
  const person = personOf(principal);
  if (person !== undefined && may(person.role, action)) return true;
  return openViewing && openViewingActions.includes(action);
}
