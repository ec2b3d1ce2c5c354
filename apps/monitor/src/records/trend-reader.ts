import {
  chooseResolution,
  type Resolution,
  type SeriesPoint,
  type SeriesPoints,
  type SeriesQuery,
  standInsFor,
  thin,
  type Trend,
  trendOfWindows,
  type WindowSummary,
  windowWidthMs,
} from '@edge-margin/series';
import type { Store } from '@edge-margin/store-sqlite';
import { type Reason, reason } from '@edge-margin/units';
import type { RemoteAnswer, RemoteMemory } from './remote-memory.js';

/** Reads trends from where they are: here as far as that reaches, across the network beyond. */
export type TrendReader = (query: SeriesQuery) => Promise<Trend>;

type Local = Pick<Store, 'series' | 'rollUps'>;

/** Points of one stretch, at one resolution. */
type Stretch =
  | { readonly resolution: 'raw'; readonly points: readonly SeriesPoint[]; readonly thinned: boolean }
  | { readonly resolution: Exclude<Resolution, 'raw'>; readonly windows: readonly WindowSummary[] };

/** More windows than this that wait to be rolled up cost more than thinning the points themselves. */
const mostDue = 500;

/**
 * The right resolution first, then the nearest place that has it: windows or points from here, and what lies before the oldest kept here from
 * the remote store. Where that does not answer, coarser windows from here stand in, and the trend says that it is partial and why.
 */
export function createTrendReader(local: Local, remote: RemoteMemory | undefined): TrendReader {
  return async (query) => {
    if (query.toMs <= query.fromMs)
      return trendOf(query, rawStretch({ points: [], thinned: false }), 'none', null);
    const here = readRight(local, query);
    const { resolution } = here;
    const reachMs = reachOf(local, query, resolution);
    if (reachMs <= query.fromMs) return fromHere(query, here, null);
    const before = { ...query, toMs: Math.min(query.toMs, reachMs) };
    const answer = remote === undefined ? undefined : await askFor(remote, before, resolution);
    if (answer?.ok === true && !isEmpty(answer.found))
      return trendOf(query, joined(answer.found, here), isEmpty(here) ? 'remote' : 'both', null);
    return standIn(local, query, here, answer?.ok === false ? answer.because : null);
  };
}

/** What is here at the right resolution: raw points where the range holds few enough of them, whatever its length. */
function readRight(local: Local, query: SeriesQuery): Stretch {
  const chosen = chooseResolution(query);
  if (chosen === 'raw') return readLocal(local, query, 'raw');
  const { id, fromMs, toMs, maxPoints } = query;
  const rawReaches = reachOf(local, query, 'raw') <= fromMs;
  if (rawReaches && local.rollUps.dueWithin(id, fromMs, toMs, mostDue) >= mostDue)
    return readLocal(local, query, 'raw');
  const windows = local.rollUps.windows(id, chosen, fromMs, toMs);
  const count = windows.reduce((sum, window) => sum + window.count, 0);
  return rawReaches && count <= maxPoints ? readLocal(local, query, 'raw') : { resolution: chosen, windows };
}

/** Since when a resolution is kept here, epoch ms; Infinity where there is nothing. */
function reachOf({ rollUps }: Local, { id }: SeriesQuery, resolution: Resolution): number {
  return rollUps.oldestMs(id, resolution) ?? Infinity;
}

/** What is kept here in place of what is not: the finest windows of which nothing within the range was let go, or the coarsest. */
function standIn(local: Local, query: SeriesQuery, here: Stretch, because: Reason | null): Trend {
  const wanted = here.resolution;
  const isWhole = (resolution: Resolution): boolean =>
    local.rollUps.letGoBeforeMs(query.id, resolution) <= query.fromMs;
  const coarser = standInsFor(wanted);
  const chosen = [wanted, ...coarser].find(isWhole) ?? coarser.at(-1) ?? wanted;
  if (chosen === wanted) return fromHere(query, here, because);
  const text = `of the time from ${new Date(query.fromMs).toISOString()} on, only windows of ${chosen} are kept here`;
  const kept = readLocal(local, query, chosen);
  return fromHere(query, kept, because ?? reason('coarser-than-asked', text, { resolution: chosen }));
}

function fromHere(query: SeriesQuery, here: Stretch, partial: Reason | null): Trend {
  return trendOf(query, here, isEmpty(here) ? 'none' : 'local', partial);
}

function readLocal({ series, rollUps }: Local, query: SeriesQuery, resolution: Resolution): Stretch {
  if (resolution === 'raw') return rawStretch(series.query(query));
  return { resolution, windows: rollUps.windows(query.id, resolution, query.fromMs, query.toMs) };
}

async function askFor(
  remote: RemoteMemory,
  query: SeriesQuery,
  resolution: Resolution,
): Promise<RemoteAnswer<Stretch>> {
  if (resolution === 'raw') {
    const answer = await remote.points(query);
    return answer.ok ? { ok: true, found: rawStretch(answer.found) } : answer;
  }
  const answer = await remote.windows(query.id, resolution, query);
  return answer.ok ? { ok: true, found: { resolution, windows: answer.found } } : answer;
}

function rawStretch({ points, thinned }: SeriesPoints): Stretch {
  return { resolution: 'raw', points, thinned };
}

function isEmpty(stretch: Stretch): boolean {
  return stretch.resolution === 'raw' ? stretch.points.length === 0 : stretch.windows.length === 0;
}

/** Two stretches of one resolution, one after the other. */
function joined(before: Stretch, after: Stretch): Stretch {
  if (before.resolution === 'raw') {
    if (after.resolution !== 'raw') return before;
    const thinned = before.thinned || after.thinned;
    return { resolution: 'raw', points: [...before.points, ...after.points], thinned };
  }
  if (after.resolution === 'raw') return before;
  const firstMs = after.windows[0]?.startMs ?? Infinity;
  const earlier = before.windows.filter(({ startMs }) => startMs < firstMs);
  return { resolution: before.resolution, windows: [...earlier, ...after.windows] };
}

function trendOf(
  query: SeriesQuery,
  stretch: Stretch,
  source: Trend['source'],
  partial: Reason | null,
): Trend {
  const { resolution } = stretch;
  if (resolution === 'raw') {
    const { points, thinned } = thin(stretch.points, query.maxPoints);
    const isThinned = thinned || stretch.thinned;
    return { points, thinned: isThinned, resolution, source, intervalMs: null, band: [], partial };
  }
  const windowed = trendOfWindows(stretch.windows, query, windowWidthMs(resolution));
  return { ...windowed, resolution, source, partial };
}
