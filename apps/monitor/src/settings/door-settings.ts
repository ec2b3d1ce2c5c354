import type { SessionRule } from '@edge-margin/access';
import { z } from 'zod';

/** How long a sign-in lasts. */
export type DoorSettings = SessionRule;

const whole = (least: number, most: number, what: string) =>
  z
    .string()
    .regex(/^\d{1,6}$/, `a whole number of ${what} from ${least} to ${most}`)
    .transform(Number)
    .refine((count) => count >= least && count <= most, `a whole number of ${what} from ${least} to ${most}`);

export const doorVariables = z.object({
  SIGN_IN_IDLE_MINUTES: whole(5, 1440, 'minutes').default(480),
  SIGN_IN_HOURS: whole(1, 168, 'hours').default(12),
});

export function doorSettings(e: z.output<typeof doorVariables>): DoorSettings {
  return { idleMs: e.SIGN_IN_IDLE_MINUTES * 60_000, longestMs: e.SIGN_IN_HOURS * 3_600_000 };
}
