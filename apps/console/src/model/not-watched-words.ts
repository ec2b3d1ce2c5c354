import type { StationContext } from './station-context.js';

/** What nobody watches at a station: `slitter, upstream, splices`; empty where nothing is told. */
export function notWatchedHere({ station }: StationContext): string {
  return (station.assessment?.notWatched ?? []).map((because) => because.text).join(', ');
}

/** What nobody watches at any of the stations. */
export function notWatchedAnywhere(contexts: readonly StationContext[]): string {
  const lists = contexts.flatMap(({ station }) =>
    station.assessment === null ? [] : [station.assessment.notWatched],
  );
  const [first, ...others] = lists;
  if (first === undefined) return '';
  const common = first.filter((because) =>
    others.every((list) => list.some((other) => other.code === because.code)),
  );
  return common.map((because) => because.text).join(', ');
}
