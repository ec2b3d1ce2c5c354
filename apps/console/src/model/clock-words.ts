/**
 * Instants in words, minutes only: nothing on a page ticks in seconds. The zone is the reader's own unless one is named.
 */
export type ClockWords = (atMs: number) => string;

/** `14:36`; the empty string for an instant that is no number. */
export function hourMinute(timeZone?: string): ClockWords {
  const format = new Intl.DateTimeFormat('en-GB', {
    hour: '2-digit',
    minute: '2-digit',
    hourCycle: 'h23',
    ...zone(timeZone),
  });
  return (atMs) => (isInstant(atMs) ? format.format(atMs) : '');
}

/** `02:31` on the day of `nowMs`, `24 Nov 02:31` on any other day: a day-old time never looks like a time of today. */
export function dayHourMinute(nowMs: number, timeZone?: string): ClockWords {
  const time = hourMinute(timeZone);
  const day = new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'short', ...zone(timeZone) });
  return (atMs) => {
    if (!isInstant(atMs)) return '';
    const sameDay = !isInstant(nowMs) || day.format(atMs) === day.format(nowMs);
    return sameDay ? time(atMs) : `${day.format(atMs)} ${time(atMs)}`;
  };
}

/** Largest instant that a JavaScript date can hold (ECMA-262, Time Values). */
const latestInstantMs = 8.64e15;

function isInstant(atMs: number): boolean {
  return Number.isFinite(atMs) && Math.abs(atMs) <= latestInstantMs;
}

function zone(timeZone: string | undefined): { timeZone?: string } {
  return timeZone === undefined ? {} : { timeZone };
}
