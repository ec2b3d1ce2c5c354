import { type Quantity, type Reason, reason } from '@edge-margin/units';
import { diameterAfterLength } from './build-up.js';
import type { WoundStep } from './build-estimate.js';
import { diameterReading } from './diameter-reading.js';
import { plausibleCell } from './plausible-cell.js';
import type { TrackerSettings } from './tracker-settings.js';
import type { RollCell, RollTrackerState } from './roll-tracker-types.js';

/** A speed is taken to have held for this long at most, s. Own choice. */
const speedHoldsS = 10;
/** A roll this much larger than its core is no longer "about the core". Own choice. */
const aboutCoreRatio = 1.2;
/** Speeds up to this factor times the highest are allowed for when a jump is judged. Own choice. */
export const speedAllowance = 1.2;
/** A winder is not jogged backwards faster than this, m/s. Own assumption. */
const backwardsMPerS = 2;

/** What one cell says, before it is held against the roll. */
export interface CellFacts {
  readonly atMs: number;
  readonly durationS: number;
  /** So much time lies between this cell and the one before that nothing carries over. */
  readonly afterGap: boolean;
  readonly winding: 0 | 1 | null;
  /** The winding signal has said from the last cell to this one that the roll is the same. */
  readonly vouched: boolean;
  readonly moving: boolean | null;
  readonly wound: WoundStep;
  /** Relative standard uncertainty of the length wound in this cell, at most 1; 0 where nothing was. */
  readonly woundUncertaintyRatio: number;
  /** The diameter as measured; unknown in mode `length`. */
  readonly readingM: Quantity;
  /** The wound length signal, and whether it carries on from the last one used. */
  readonly lengthM: Quantity;
  readonly lengthVerdict: 'fits' | 'back' | 'ahead' | 'none';
  /** Where the roll, if there is one, stands by the readings of this cell alone. */
  readonly position: 'core' | 'beyond' | 'unknown';
  readonly notUsed: readonly Reason[];
}

/** Reads one cell against the cell before it. */
export function cellFacts(state: RollTrackerState, measured: RollCell, settings: TrackerSettings): CellFacts {
  const { cell, notUsed: implausible } = plausibleCell(measured, settings);
  const durationS = state.atMs === null ? 0 : (cell.atMs - state.atMs) / 1000;
  const afterGap = durationS > speedHoldsS;
  const winding = windingOf(cell.winding);
  const lengthVerdict = verdictOnLength(state, cell, settings);
  const wound = woundInCell(state, cell, durationS, settings);
  const { readingM, notUsed } = diameterReading(cell, settings);
  return {
    atMs: cell.atMs,
    durationS,
    afterGap,
    winding,
    vouched: winding === 1 && state.winding === 1 && !afterGap,
    moving: movingOf(cell, wound, settings),
    wound,
    woundUncertaintyRatio:
      wound.kind === 'told' && wound.lengthM > 0 ? Math.min(1, wound.uncertaintyM / wound.lengthM) : 0,
    readingM,
    lengthM: cell.woundLengthM,
    lengthVerdict,
    position: positionOf(readingM, cell.woundLengthM, settings),
    notUsed: implausible.concat(notUsed, lengthNotUsed(state, cell, lengthVerdict)),
  };
}

function windingOf(signal: Quantity): 0 | 1 | null {
  if (signal.kind === 'unknown') return null;
  return signal.value >= 0.5 ? 1 : 0;
}

function verdictOnLength(
  state: RollTrackerState,
  cell: RollCell,
  settings: TrackerSettings,
): CellFacts['lengthVerdict'] {
  if (cell.woundLengthM.kind === 'unknown') return 'none';
  // Between rolls the counter may be set to anything.
  if (state.roll === null || state.lengthSignal === null)
    return cell.woundLengthM.value < 0 ? 'back' : 'fits';
  return counterVerdict(state.lengthSignal, { m: cell.woundLengthM.value, atMs: cell.atMs }, settings);
}

interface Counted {
  readonly m: number;
  readonly atMs: number;
}

function counterVerdict(before: Counted, now: Counted, settings: TrackerSettings): 'fits' | 'back' | 'ahead' {
  const sinceS = (now.atMs - before.atMs) / 1000;
  const change = now.m - before.m;
  // One metre more each way: counters count in metres.
  if (change < -1 - backwardsMPerS * sinceS) return 'back';
  return change > 1 + speedAllowance * settings.maxSpeedMPerS * sinceS ? 'ahead' : 'fits';
}

/** Length by the machine's counter if it carries on from the last cell, else speed by time, else only a bound. */
function woundInCell(
  state: RollTrackerState,
  cell: RollCell,
  durationS: number,
  settings: TrackerSettings,
): WoundStep {
  const { speedMPerS: speed } = cell;
  const counted = countedInCell(state, cell, settings);
  if (counted !== null) return counted;
  if (speed.kind === 'known' && durationS <= speedHoldsS) {
    return { kind: 'told', lengthM: speed.value * durationS, uncertaintyM: speed.uncertainty * durationS };
  }
  return { kind: 'unseen', atMostM: settings.maxSpeedMPerS * durationS };
}

function countedInCell(
  state: RollTrackerState,
  { woundLengthM: length, atMs }: RollCell,
  settings: TrackerSettings,
): WoundStep | null {
  const before = state.lengthSignal;
  if (length.kind === 'unknown' || before === null || before.atMs !== state.atMs) return null;
  if (counterVerdict(before, { m: length.value, atMs }, settings) !== 'fits') return null;
  const lengthM = length.value - before.m;
  // The errors of one counter at two times are the same share of what it shows.
  const ratio = length.value > 0 ? Math.min(1, length.uncertainty / length.value) : 0;
  return { kind: 'told', lengthM, uncertaintyM: Math.abs(lengthM) * ratio };
}

function movingOf(cell: RollCell, wound: WoundStep, settings: TrackerSettings): boolean | null {
  if (cell.speedMPerS.kind === 'known')
    return Math.abs(cell.speedMPerS.value) > settings.standstillSpeedMPerS;
  return wound.kind === 'told' ? wound.lengthM !== 0 : null;
}

function lengthNotUsed(
  state: RollTrackerState,
  cell: RollCell,
  verdict: CellFacts['lengthVerdict'],
): readonly Reason[] {
  if (cell.woundLengthM.kind === 'unknown' || verdict === 'fits' || verdict === 'none') return [];
  const params = { lengthM: cell.woundLengthM.value, beforeM: state.lengthSignal?.m ?? 0 };
  const text = `wound length jumped ${verdict} from ${params.beforeM.toFixed(0)} m to ${params.lengthM.toFixed(0)} m`;
  return [reason(`length-jumped-${verdict}`, text, params)];
}

function positionOf(readingM: Quantity, lengthM: Quantity, settings: TrackerSettings): CellFacts['position'] {
  const diameterM = readingM.kind === 'known' ? readingM.value : diameterByLength(lengthM, settings);
  if (diameterM === undefined) return 'unknown';
  return isAboutCore(diameterM, settings) ? 'core' : 'beyond';
}

function diameterByLength(lengthM: Quantity, settings: TrackerSettings): number | undefined {
  if (lengthM.kind === 'unknown') return undefined;
  return diameterAfterLength(
    { startDiameterM: settings.coreDiameterM, layerThicknessM: settings.layerM.value },
    Math.max(0, lengthM.value),
  );
}

/** Whether a diameter is that of a core, bare or with little on it. */
export function isAboutCore(diameterM: number, settings: TrackerSettings): boolean {
  return diameterM <= aboutCoreRatio * settings.coreDiameterM;
}

/** Length told to have been wound in the cell, m; 0 where nothing told. */
export function toldLength({ wound }: CellFacts): number {
  return wound.kind === 'told' ? wound.lengthM : 0;
}
