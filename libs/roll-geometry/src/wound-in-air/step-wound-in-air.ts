import { type Reason, reason, unknown } from '@edge-margin/units';
import { noBlocks } from './block-row.js';
import { noDeparture } from './departure.js';
import { nothingReached, reachAfter } from './reach.js';
import { noScatterSeen } from './reading-scatter.js';
import { type PlacedReading, withReading } from './stretch-in-hand.js';
import { woundInAirOf } from './wound-in-air-of.js';
import { type WoundInAirSettings, woundInAirSettings } from './wound-in-air-settings.js';
import type {
  WoundInAirCell,
  WoundInAirConfig,
  WoundInAirState,
  WoundInAirStep,
} from './wound-in-air-types.js';

/** State before the first cell. */
export const noWoundInAirSeen: WoundInAirState = {
  version: 1,
  atMs: null,
  basis: null,
  reach: nothingReached,
  recent: [],
  freshFrom: 0,
  row: noBlocks,
  refusedInARow: 0,
  departure: noDeparture,
  scatter: noScatterSeen,
  unrest: 0,
  before: null,
  notUsedCount: 0,
};

/**
 * Measures the air wound into a roll, by one more closed cell of the event-time grid. Pure: the same cells from the same state give bit-equal states.
 *
 * The slope of `pi/4 D^2` over the wound length (or of `D/2` over counted wraps) is the layer thickness; less caliper it is the air, less what caliper
 * and film were compressed by the wraps above. The slope is taken by an M-estimate over a stretch of web that ends now, of a chosen or given length.
 *
 * A reading further than five standard deviations off the line is not used. Five such in a row that lie on a line of their own, or readings that leave
 * the line by little but steadily, end the stretch and begin another: a step of the gauge then bends nothing, and a film that jumps (nip lifted) is
 * followed at once. A changed caliper, abscissa or roll begins anew; a standing roll adds nothing.
 *
 * Uncertainty (first order, JCGM 100:2008, 5.1.2): scatter of the readings as stated, or as seen where that is more; scale and zero of the gauge; length;
 * caliper. Not in it: a diameter read later than the length was, which shifts the line while the speed changes; lanes of unequal caliper, of which the
 * gauge sees one; settling of the wraps below, which makes the roll grow less than the wrap just laid.
 * @param state what the cell before left; {@link noWoundInAirSeen} at first.
 * @param cell what was measured in this cell. Diameter, length and wraps as measured, none computed from another.
 * @param config caliper, gauge and counter, as they are now.
 * @throws RangeError if the cell is not later than the one before, or a number of the configuration is out of its range.
 */
export function stepWoundInAir(
  state: WoundInAirState,
  cell: WoundInAirCell,
  config: WoundInAirConfig,
): WoundInAirStep {
  if (state.atMs !== null && !(cell.atMs > state.atMs)) {
    throw new RangeError(
      `atMs: later than the cell before (${state.atMs} ms) is needed, got ${cell.atMs} ms`,
    );
  }
  const settings = woundInAirSettings(config);
  const before = onBasis(state, cell, settings);
  const { reach, lost } = reachAfter(before.reach, {
    over: settings.over,
    atMs: cell.atMs,
    durationS: before.atMs === null ? 0 : (cell.atMs - before.atMs) / 1000,
    count: countOf(cell, settings),
    speedMPerS: cell.speedMPerS,
  });
  const moved = { ...(lost ? withoutStretch(before) : before), atMs: cell.atMs, reach };
  const placed = placedReading(moved, cell, settings);
  const { stretch, ended, refused } =
    placed === null ? { stretch: moved, ended: null, refused: null } : withReading(moved, placed, settings);
  const after = {
    ...moved,
    ...stretch,
    notUsedCount: moved.notUsedCount + (refused === null ? 0 : 1),
  };
  return {
    state: after,
    measured: woundInAirOf(after, settings),
    stretchEnded: lost ? lengthLost(settings) : ended,
    notUsed: refused,
  };
}

function countOf(
  { woundLengthM, wrapCount }: WoundInAirCell,
  { over }: WoundInAirSettings,
): WoundInAirCell['woundLengthM'] {
  if (over === 'length') return woundLengthM;
  return wrapCount ?? unknown(reason('no-wrap-count', 'wraps are not counted here'));
}

function onBasis(
  state: WoundInAirState,
  { rollId }: WoundInAirCell,
  settings: WoundInAirSettings,
): WoundInAirState {
  const { caliperM, over } = settings;
  const same =
    state.basis?.rollId === rollId && state.basis.caliperM === caliperM && state.basis.over === over;
  return same ? state : { ...noWoundInAirSeen, atMs: state.atMs, basis: { rollId, caliperM, over } };
}

/** The position is no longer the one that the stretch was measured by. */
function withoutStretch(state: WoundInAirState): WoundInAirState {
  return { ...state, recent: [], row: noBlocks, refusedInARow: 0, departure: noDeparture, freshFrom: 0 };
}

function lengthLost({ over }: WoundInAirSettings): Reason {
  const what = over === 'length' ? 'wound length' : 'wrap count';
  return reason(
    'count-lost',
    `the ${what} does not carry on from where it was, so the measurement begins anew`,
    { over },
  );
}

/** The reading of this cell with its position; null where there is none, or the roll was not wound on since the last. */
function placedReading(
  { reach, recent }: WoundInAirState,
  { diameterM }: WoundInAirCell,
  { law }: WoundInAirSettings,
): PlacedReading | null {
  if (diameterM.kind === 'unknown' || !(diameterM.value > 0) || reach.position === null) return null;
  const last = recent.at(-1);
  if (last !== undefined && Math.abs(reach.position - last[0]) < law.leastAdvance) return null;
  return { position: reach.position, diameterM: diameterM.value };
}
