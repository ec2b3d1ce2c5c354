export type Rfc3339 =
  | { readonly ok: true; readonly atMs: number }
  | { readonly ok: false; readonly fault: 'no-offset' | 'malformed' };

const dateTime =
  /^(\d{4})-(\d\d)-(\d\d)[Tt ]([01]\d|2[0-3]):([0-5]\d):([0-5]\d|60)(?:\.(\d{1,30}))?(?:([Zz])|([+-])([01]\d|2[0-3]):([0-5]\d))?$/;

/** The Gregorian calendar repeats after 400 years. `Date.UTC` takes the years 0 to 99 for 1900 to 1999, which the shift avoids. */
const cycleMs = 146_097 * 86_400_000;

/**
 * Reads an instant, e.g. `2026-11-25T04:55:15.055Z`, to the nearest millisecond.
 *
 * Source: RFC 3339, section 5.6; `t`, `z` and a space between date and time as its notes allow. The offset is required; `-00:00` (local offset
 * unknown) tells UTC all the same (section 4.3). A leap second, `:60`, becomes the last millisecond of its minute.
 * @param text at most a few dozen characters; longer text is malformed
 * @returns epoch ms, or what is wrong: `no-offset` where only the offset is missing
 */
export function parseRfc3339(text: string): Rfc3339 {
  const match = text.length <= 64 ? dateTime.exec(text) : null;
  if (match === null) return { ok: false, fault: 'malformed' };
  const [year, month, day, hour, minute, second] = match.slice(1, 7).map(Number) as [
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  if (month < 1 || month > 12 || day < 1 || day > daysIn(year, month))
    return { ok: false, fault: 'malformed' };
  if (match[8] === undefined && match[9] === undefined) return { ok: false, fault: 'no-offset' };
  const fractionMs = second === 60 ? 999 : Math.round(Number(`0.${match[7] ?? '0'}`) * 1000);
  const minuteMs = Date.UTC(year + 400, month - 1, day, hour, minute) - cycleMs;
  return { ok: true, atMs: minuteMs + Math.min(second, 59) * 1000 + fractionMs - offsetMs(match) };
}

function offsetMs(match: RegExpExecArray): number {
  const minutes = Number(match[10] ?? 0) * 60 + Number(match[11] ?? 0);
  return (match[9] === '-' ? -minutes : minutes) * 60_000;
}

function daysIn(year: number, month: number): number {
  const leap = year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0);
  return [31, leap ? 29 : 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31][month - 1] ?? 0;
}
