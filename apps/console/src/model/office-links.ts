import type { Action } from '@edge-margin/access';
import type { SessionBody } from '@edge-margin/monitoring';
import type { PlainPage } from '../routing/route.js';
import { mayDo } from './permissions.js';

interface OfficePage {
  readonly page: PlainPage;
  readonly words: string;
  readonly action: Action;
}

/** Pages that only some may open, in the order in which their links stand. */
const officePages: readonly OfficePage[] = [
  { page: 'service', words: 'service', action: 'view-service-health' },
  { page: 'people', words: 'people', action: 'manage-people' },
  { page: 'keys', words: 'keys', action: 'manage-keys' },
  { page: 'audit', words: 'audit', action: 'view-audit' },
];

/** Those that this session may open. */
export function officeLinks(session: SessionBody): readonly OfficePage[] {
  return officePages.filter(({ action }) => mayDo(session, action));
}

/** What a page needs, where it is not for everybody. */
export function actionFor(page: string): Action | null {
  return officePages.find((office) => office.page === page)?.action ?? null;
}
