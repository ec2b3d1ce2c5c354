import type { Pair } from '../winder/ends.js';
import type { Wrap } from '../winder/wrap.js';

/** The band of radius that is being filled with wraps whose place is final. */
export interface BandState {
  readonly index: number | null;
  readonly wraps: number;
  readonly tendingSquares: number;
  readonly driveSquares: number;
  readonly freeWraps: number;
  readonly liftedWraps: number;
  /** Where the last wrap's edges lie; null at the core. */
  readonly last: { readonly tendingM: number; readonly driveM: number } | null;
}

export const EMPTY_BAND: BandState = {
  index: null,
  wraps: 0,
  tendingSquares: 0,
  driveSquares: 0,
  freeWraps: 0,
  liftedWraps: 0,
  last: null,
};

/** A band that is full. */
export interface FinishedBand {
  readonly innerRadiusM: number;
  readonly outerRadiusM: number;
  readonly wraps: number;
  readonly tendingRmsM: number;
  readonly driveRmsM: number;
  readonly squares: Pair;
  readonly freeWraps: number;
  readonly liftedWraps: number;
}

/** Adds wraps, innermost first; hands out each band that one of them leaves behind. */
export function addToBands(
  start: BandState,
  wraps: readonly Wrap[],
  bandM: number,
): { readonly band: BandState; readonly finished: readonly FinishedBand[] } {
  let band = start;
  const finished: FinishedBand[] = [];
  for (const wrap of wraps) {
    const index = Math.floor(wrap.radiusM / bandM);
    if (band.index !== null && index > band.index) {
      finished.push(finishedBand(band, bandM));
      band = { ...EMPTY_BAND, last: band.last };
    }
    band = added({ ...band, index: band.index ?? index }, wrap);
  }
  return { band, finished };
}

export function finishedBand(band: BandState, bandM: number): FinishedBand {
  const index = band.index ?? 0;
  const rms = (squares: number): number => (band.wraps === 0 ? 0 : Math.sqrt(squares / band.wraps));
  return {
    innerRadiusM: index * bandM,
    outerRadiusM: (index + 1) * bandM,
    wraps: band.wraps,
    tendingRmsM: rms(band.tendingSquares),
    driveRmsM: rms(band.driveSquares),
    squares: [band.tendingSquares, band.driveSquares],
    freeWraps: band.freeWraps,
    liftedWraps: band.liftedWraps,
  };
}

/** Where the edges of a wrap lie, each less its nominal place; drive side positive. */
export function edgesOf(wrap: Wrap): { readonly tendingM: number; readonly driveM: number } {
  const tendingM = wrap.offsetM - wrap.halfWideningM;
  const driveM = wrap.offsetM + wrap.halfWideningM;
  if (wrap.cutM === undefined) return { tendingM, driveM };
  return { tendingM: tendingM + wrap.cutM.tending, driveM: driveM + wrap.cutM.drive };
}

function added(band: BandState, wrap: Wrap): BandState {
  const edges = edgesOf(wrap);
  const step = (name: 'tendingM' | 'driveM'): number =>
    band.last === null ? 0 : edges[name] - band.last[name];
  return {
    index: band.index,
    wraps: band.wraps + 1,
    tendingSquares: band.tendingSquares + step('tendingM') * step('tendingM'),
    driveSquares: band.driveSquares + step('driveM') * step('driveM'),
    freeWraps: band.freeWraps + (wrap.wasFree ? 1 : 0),
    liftedWraps: band.liftedWraps + (wrap.liftedRatio > 0 ? 1 : 0),
    last: edges,
  };
}
