import { type Reason, reason } from '@edge-margin/units';
import type { CompiledTime } from './compiled-sources.js';
import { valueAt } from './json-pointer.js';
import { parseRfc3339 } from './rfc3339.js';
import { shownValue } from './visible-text.js';

export type EventTime =
  | { readonly ok: true; readonly atMs: number; readonly fromArrival: boolean }
  | { readonly ok: false; readonly because: Reason; readonly atMs?: number };

type StampedTime = Exclude<CompiledTime, 'arrival'>;
type EpochFormat = Exclude<StampedTime['format'], 'rfc3339'>;

const perMs: Readonly<Record<EpochFormat, number>> = {
  'epoch-s': 1e-3,
  'epoch-ms': 1,
  'epoch-us': 1e3,
  'epoch-ns': 1e6,
};

/** Further ahead is no clock that is a little fast, but a wrong one. */
const mostAheadMs = 60_000;
/** Further behind is no backlog, but a wrong clock or a value of another run. */
const mostBehindMs = 30 * 86_400_000;
const year2000Ms = Date.UTC(2000, 0, 1);

/**
 * The event time of a message, to the nearest millisecond, before the source's clock is corrected.
 *
 * Epoch times may be numbers or text that is a number (nanoseconds do not fit a JSON number exactly; the error, below a microsecond, does not
 * matter here). A time more than 60 s ahead of the arrival, more than 30 days behind it or before the year 2000 is not used.
 * @param root the message's document
 * @param time where the time stands and how it is written
 * @param arrivedAtMs arrival, epoch ms
 */
export function eventTime(root: unknown, time: CompiledTime, arrivedAtMs: number): EventTime {
  if (time === 'arrival') return { ok: true, atMs: arrivedAtMs, fromArrival: true };
  const raw = valueAt(root, time.pointer);
  if (raw === undefined || raw === null) {
    return refused(
      'time-missing',
      `${time.pointer.text} is ${raw === null ? 'null' : 'missing'}: ${wanted(time.format)} is needed`,
      time,
    );
  }
  const read = time.format === 'rfc3339' ? readRfc3339(raw, time) : readEpoch(raw, time, time.format);
  return read.ok ? checkedTime(read, raw, time, arrivedAtMs) : read;
}

function readRfc3339(raw: unknown, time: StampedTime): EventTime {
  const read =
    typeof raw === 'string' ? parseRfc3339(raw) : { ok: false as const, fault: 'malformed' as const };
  if (read.ok) return { ok: true, atMs: read.atMs, fromArrival: false };
  if (read.fault === 'no-offset') {
    const text = `${time.pointer.text} is ${shownValue(raw)}, which could be any time zone: an offset such as Z or +01:00 is needed`;
    return refused('time-without-offset', text, time);
  }
  return refused(
    'time-malformed',
    `${time.pointer.text} is ${shownValue(raw)}: ${wanted(time.format)} is needed`,
    time,
  );
}

function readEpoch(raw: unknown, time: StampedTime, format: EpochFormat): EventTime {
  const number = typeof raw === 'string' && /^-?\d{1,30}(\.\d{1,30})?$/.test(raw) ? Number(raw) : raw;
  if (typeof number === 'number' && Number.isFinite(number)) {
    return { ok: true, atMs: Math.round(number / perMs[format]) + 0, fromArrival: false };
  }
  return refused(
    'time-malformed',
    `${time.pointer.text} is ${shownValue(raw)}: ${wanted(format)} is needed`,
    time,
  );
}

function checkedTime(
  read: EventTime & { ok: true },
  raw: unknown,
  time: StampedTime,
  arrivedAtMs: number,
): EventTime {
  const { atMs } = read;
  const behindMs = arrivedAtMs - atMs;
  if (behindMs >= -mostAheadMs && behindMs <= mostBehindMs && atMs >= year2000Ms) return read;
  const stated = `${time.pointer.text} is ${shownValue(raw)}`;
  const hint = otherFormat(raw, time.format, arrivedAtMs);
  if (hint !== undefined) {
    return refused(
      'time-implausible',
      `${stated}, far from the time of arrival when read as ${time.format}, close to it as ${hint}: correct the format`,
      time,
      atMs,
    );
  }
  if (behindMs < 0) {
    const text = `${stated}, ${Math.round(-behindMs / 1000)} s ahead of the arrival: at most ${mostAheadMs / 1000} s is corrected, set the source's clock`;
    return refused('time-ahead', text, time, atMs, { aheadS: Math.round(-behindMs / 1000) });
  }
  return refused(
    'time-implausible',
    `${stated}: a time after the year 2000 and at most 30 days before the arrival is needed`,
    time,
    atMs,
  );
}

/** The epoch format in which the number would lie within a day of the arrival. */
function otherFormat(raw: unknown, format: StampedTime['format'], arrivedAtMs: number): string | undefined {
  if (format === 'rfc3339') return undefined;
  const formats = Object.entries(perMs);
  return formats.find(
    ([other, per]) => other !== format && Math.abs(Number(raw) / per - arrivedAtMs) < 86_400_000,
  )?.[0];
}

function wanted(format: StampedTime['format']): string {
  if (format === 'rfc3339') return 'a time with offset such as 2026-11-25T04:55:15.055Z (RFC 3339)';
  return `the number of ${{ 'epoch-s': 's', 'epoch-ms': 'ms', 'epoch-us': 'us', 'epoch-ns': 'ns' }[format]} since 1970-01-01T00:00Z`;
}

function refused(
  code: string,
  text: string,
  time: StampedTime,
  atMs?: number,
  params: Reason['params'] = {},
): EventTime {
  const because = reason(code, text, { pointer: time.pointer.text, format: time.format, ...params });
  return atMs === undefined || Math.abs(atMs) > 8.64e15
    ? { ok: false, because }
    : { ok: false, because, atMs };
}
