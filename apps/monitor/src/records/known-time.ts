import { type Reason, reason } from '@edge-margin/units';

/**
 * The time that ages are measured from. A clock that has jumped ahead must not let go of what is still young, and whether a clock has jumped
 * cannot be seen from what is stored: arrivals, and series of sources without a clock of their own, go along with it.
 *
 * So the time that is known goes on at the pace of a clock that never jumps, and follows this machine's clock only where the two agree. Where
 * they do not, the earlier of them counts, until the machine's clock has stood for a day of running: then it is believed. A day is the shortest
 * time that anything is kept, so nothing is on the disk longer than the service ran for it, plus a day: also after months without power, when
 * what lies before them ages by the known time, and what comes in is not due before the clock is believed. Somebody has that day to put right
 * a clock that is wrong.
 */
export interface KnownTime {
  readonly atMs: number;
  /** How long the service has run with a clock that disagrees, ms; 0 where it agrees. */
  readonly awayMs: number;
}

/** Apart by no more than this is agreement, ms: summer time, a time service that corrects, a restart. At most so much is let go of too early. */
const allowanceMs = 2 * 3_600_000;
/** A clock that has stood so long is believed, ms of running. */
export const believedAfterMs = 24 * 3_600_000;

/**
 * One look at the machine's clock.
 * @param elapsedMs since the look before, by a clock that never jumps
 */
export function lookAtClock({ atMs, awayMs }: KnownTime, wallMs: number, elapsedMs: number): KnownTime {
  const expectedMs = atMs + elapsedMs;
  if (Math.abs(wallMs - expectedMs) <= allowanceMs) return { atMs: wallMs, awayMs: 0 };
  const away = awayMs + elapsedMs;
  return away >= believedAfterMs ? { atMs: wallMs, awayMs: 0 } : { atMs: expectedMs, awayMs: away };
}

/** Why less is let go of than the clock says; null where it is not ahead. */
export function clockAhead({ atMs, awayMs }: KnownTime, wallMs: number): Reason | null {
  const aheadMs = wallMs - atMs;
  if (aheadMs <= allowanceMs) return null;
  const aheadS = Math.round(aheadMs / 1000);
  const leftS = Math.ceil((believedAfterMs - awayMs) / 1000);
  return reason(
    'clock-ahead',
    `this machine’s clock is ${spanWords(aheadS)} ahead of the time that the service knows of: the service was off for long, or the clock is wrong; nothing is let go of by it until it is put right, or has stood for another ${spanWords(leftS)}`,
    { aheadS, leftS },
  );
}

function spanWords(seconds: number): string {
  const hours = seconds / 3600;
  if (hours >= 48) return `${Math.round(hours / 24)} days`;
  return hours >= 2 ? `${Math.round(hours)} h` : `${Math.ceil(seconds / 60)} min`;
}
