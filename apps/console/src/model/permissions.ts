import { type Action, type Role, rolesFor } from '@edge-margin/access';
import type { SessionBody } from '@edge-margin/monitoring';

/** Whether what the session allows holds the action. */
export function mayDo(session: SessionBody | null, action: Action): boolean {
  return session?.may.includes(action) === true;
}

/** Whether pages may be looked at: by whoever is signed in, or by anybody where viewing is open. */
export function mayLook(session: SessionBody | null): boolean {
  return mayDo(session, 'view');
}

/** How an alarm can be acknowledged at this screen. */
export type AcknowledgeWay =
  /** By the person who is signed in. */
  | { readonly kind: 'at-once' }
  /** Nobody is signed in: each action asks who acts. */
  | { readonly kind: 'ask-who' }
  /** Not by this role; why, in words. */
  | { readonly kind: 'not-allowed'; readonly short: string; readonly words: string };

export function acknowledgeWay(session: SessionBody | null): AcknowledgeWay {
  const person = session?.person ?? null;
  if (person === null) return { kind: 'ask-who' };
  if (mayDo(session, 'acknowledge-alarm')) return { kind: 'at-once' };
  return {
    kind: 'not-allowed',
    short: `not as ${person.role}`,
    words: `${listed(rolesFor('acknowledge-alarm'))} acknowledge alarms; ${article(person.role)} ${person.role} does not`,
  };
}

function listed(words: readonly Role[]): string {
  const text = `${words.slice(0, -1).join(', ')} and ${words.at(-1) ?? ''}`;
  return text.charAt(0).toUpperCase() + text.slice(1);
}

function article(role: Role): 'a' | 'an' {
  return /^[aeiou]/.test(role) ? 'an' : 'a';
}

const actionWords = {
  view: 'look at winders, alarms and trends',
  'assess-point': 'assess operating points',
  'acknowledge-alarm': 'acknowledge alarms',
  'view-service-health': 'look at the service’s own health',
  'view-audit': 'read the audit',
  'manage-people': 'manage people',
  'manage-keys': 'manage keys',
} as const satisfies Record<Action, string>;

/** What an action allows, in words. */
export function actionName(action: Action): string {
  return actionWords[action];
}
