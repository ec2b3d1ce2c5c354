import type { StationContext } from './station-context.js';

/** The time by which somebody must act: an instant, `now`, or nothing to act on. */
export type ActBy = { readonly kind: 'now' } | { readonly kind: 'at'; readonly atMs: number } | null;

/** Only a live state that calls people has an act by: a trial and a station that nobody watches never promise a time. */
export function actBy({ station, liveness, nowMs }: StationContext): ActBy {
  const assessment = station.assessment;
  if (liveness.kind !== 'live' || assessment === null) return null;
  if (assessment.state.word === 'free-now') return { kind: 'now' };
  if (assessment.state.word !== 'free-from') return null;
  const by = assessment.forecast.actBy;
  if (by === null || !Number.isFinite(by.atMs)) return null;
  return by.atMs <= nowMs ? { kind: 'now' } : { kind: 'at', atMs: by.atMs };
}

/** Less than this is told as such, ms: a time of day in minutes would read as the present one. */
const minuteMs = 60_000;

/** `ACT BY 14:36`, `ACT IN < 1 min`, `ACT NOW`, or nothing. */
export function actByWords(context: StationContext): string {
  const by = actBy(context);
  if (by === null) return '';
  if (by.kind === 'now') return 'ACT NOW';
  return by.atMs - context.nowMs < minuteMs ? 'ACT IN < 1 min' : `ACT BY ${context.since(by.atMs)}`;
}

/** `set ends 14:47`, or why that cannot be said. */
export function setEndWords(context: StationContext): string {
  const { station, liveness, since } = context;
  if (liveness.kind === 'no-connection') {
    return liveness.sinceMs === null
      ? 'this page knows nothing yet'
      : `this page knows nothing after ${since(liveness.sinceMs)}`;
  }
  const assessment = station.assessment;
  if (liveness.kind !== 'live' || assessment === null) return 'set end not known';
  if (assessment.roll === null) return 'no set is being wound';
  const ends = plainSetEnd(context);
  return assessment.state.word === 'trial' ? `${ends}; no act by in a trial` : ends;
}

/** The same for a row among many: `ends 14:39`, empty where not known. */
export function shortSetEnd(context: StationContext): string {
  const setEnd = context.station.assessment?.forecast.setEnd ?? null;
  if (context.liveness.kind !== 'live' || setEnd === null) return '';
  return `ends ${context.since(setEnd.atMs)}`;
}

function plainSetEnd({ station, since }: StationContext): string {
  const setEnd = station.assessment?.forecast.setEnd ?? null;
  return setEnd === null ? 'set end not known' : `set ends ${since(setEnd.atMs)}`;
}
