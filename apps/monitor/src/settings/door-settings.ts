import type { SessionRule } from '@edge-margin/access';
import { z } from 'zod';
import { wholeNumber } from './setting-kinds.js';

/** How long a sign-in lasts. */
export type DoorSettings = SessionRule;

export const doorVariables = z.object({
  SIGN_IN_IDLE_MINUTES: wholeNumber(5, 1440, 'minutes').default(480),
  SIGN_IN_HOURS: wholeNumber(1, 168, 'hours').default(12),
});

export function doorSettings(e: z.output<typeof doorVariables>): DoorSettings {
  return { idleMs: e.SIGN_IN_IDLE_MINUTES * 60_000, longestMs: e.SIGN_IN_HOURS * 3_600_000 };
}
