import { describe, expect, it } from 'vitest';
import type { CompiledTime } from './compiled-sources.js';
import { eventTime } from './event-time.js';
import { parsePointer } from './json-pointer.js';

const arrivedAtMs = Date.UTC(2026, 10, 25, 4, 55, 16);
type Format = Exclude<CompiledTime, 'arrival'>['format'];

const read = (format: Format, at: unknown) =>
  eventTime(JSON.parse(JSON.stringify({ at })), { pointer: parsePointer('/at'), format }, arrivedAtMs);
const outcome = (format: Format, at: unknown) => {
  const time = read(format, at);
  return time.ok ? time.atMs - arrivedAtMs : time.because.code;
};

describe('the time of a message', () => {
  it.each<[Format, unknown, number]>([
    ['rfc3339', '2026-11-25T05:55:15.055+01:00', -945],
    ['epoch-s', 1_795_582_515, -1000],
    ['epoch-s', 1_795_582_515.055, -945],
    ['epoch-s', '1795582515.055', -945],
    ['epoch-ms', 1_795_582_515_055, -945],
    ['epoch-us', 1_795_582_515_055_400, -945],
    ['epoch-ns', '1795582515055400000', -945],
    ['epoch-ns', 1_795_582_515_055_400_000, -945],
  ])('written as %s, %j, is read to the millisecond', (format, at, expected) => {
    expect(outcome(format, at)).toBe(expected);
  });

  it('is the arrival where the message carries none', () => {
    expect(eventTime({}, 'arrival', arrivedAtMs)).toEqual({ ok: true, atMs: arrivedAtMs, fromArrival: true });
  });

  it.each<[Format, unknown, string]>([
    ['rfc3339', undefined, 'time-missing'],
    ['rfc3339', null, 'time-missing'],
    ['rfc3339', '2026-11-25T04:55:15', 'time-without-offset'],
    ['rfc3339', '25.11.2026 04:55', 'time-malformed'],
    ['rfc3339', 1_795_582_515, 'time-malformed'],
    ['epoch-s', '2026-11-25T04:55:15Z', 'time-malformed'],
    ['epoch-s', true, 'time-malformed'],
    ['epoch-s', '', 'time-malformed'],
    ['epoch-s', {}, 'time-malformed'],
    ['epoch-ms', 1_795_582_515, 'time-implausible'],
    ['epoch-s', 1_795_582_515_055, 'time-implausible'],
    ['epoch-s', 0, 'time-implausible'],
    ['epoch-s', -1e300, 'time-implausible'],
    ['rfc3339', '1970-01-01T00:00:07Z', 'time-implausible'],
    ['rfc3339', '2026-11-25T04:56:17Z', 'time-ahead'],
    ['epoch-s', 1e300, 'time-ahead'],
  ])('written as %s, %j, is not used: %s', (format, at, code) => {
    expect(outcome(format, at)).toBe(code);
  });

  it('may be 60 s ahead of the arrival and 30 days behind it, and no more', () => {
    const days30 = 30 * 86_400_000;
    expect(outcome('epoch-ms', arrivedAtMs + 60_000)).toBe(60_000);
    expect(outcome('epoch-ms', arrivedAtMs + 60_001)).toBe('time-ahead');
    expect(outcome('epoch-ms', arrivedAtMs - days30)).toBe(-days30);
    expect(outcome('epoch-ms', arrivedAtMs - days30 - 1)).toBe('time-implausible');
  });

  it('that fits another epoch format says so', () => {
    const time = read('epoch-ms', 1_795_582_515);
    expect(time.ok ? '' : time.because.text).toBe(
      '/at is 1795582515, far from the time of arrival when read as epoch-ms, close to it as epoch-s: correct the format',
    );
  });

  it('that is ahead tells by how much and what to do', () => {
    const time = read('epoch-ms', arrivedAtMs + 90_000);
    expect(time.ok ? '' : time.because.text).toContain(
      '90 s ahead of the arrival: at most 60 s is corrected, set the source',
    );
  });
});
