import { type Reason, reason } from '@edge-margin/units';
import { agreeingPoints } from './agreeing-points.js';
import { type Point, blocksBefore, noBlocks, rowOfPoints, rowWith } from './block-row.js';
import { type ChosenStretch, type StretchChoice, chosenStretch } from './chosen-stretch.js';
import { departedFrom, departureAfter, noDeparture } from './departure.js';
import { expectedExcess } from './excess-line.js';
import { type ReadingScatter, scatterAfter, scatterToUse } from './reading-scatter.js';
import { slopeToRemember } from './slope-to-remember.js';
import type { WoundInAirSettings } from './wound-in-air-settings.js';
import type { WoundInAirState } from './wound-in-air-types.js';

/** The part of the state that a reading changes. */
export type StretchInHand = Pick<
  WoundInAirState,
  'recent' | 'freshFrom' | 'row' | 'refusedInARow' | 'departure' | 'scatter' | 'unrest' | 'before'
>;

/** A reading that can be placed. */
export interface PlacedReading {
  readonly position: number;
  readonly diameterM: number;
}

/** What a reading made of the stretch. */
interface StretchStep {
  readonly stretch: StretchInHand;
  readonly ended: Reason | null;
  readonly refused: Reason | null;
}

/** Readings kept one by one: as many as may begin a stretch. Own choice. */
const mostRecent = 8;
/** A reading further off the line than this many standard deviations is not used. Own choice, as in the roll tracker. */
const gateDeviations = 5;
/** What is left of the unrest after one more reading. Own choice. */
const unrestFades = 0.995;
/** Readings refused in a row that confirm a departure which had begun before them. Own choice. */
const confirmingRefusals = 3;

/** The stretch in hand with one more reading: used, refused, or the beginning of another stretch. */
export function withReading(
  stretch: StretchInHand,
  reading: PlacedReading,
  settings: WoundInAirSettings,
): StretchStep {
  const { law, caliperM } = settings;
  const point: Point = [reading.position, law.ordinate(reading.diameterM) - caliperM * reading.position];
  const placed = { ...stretch, recent: [...stretch.recent.slice(1 - mostRecent), point] };
  const choice = stretchChoice(placed, settings);
  const chosen = chosenStretch(placed.row.blocks, choice);
  return chosen === null
    ? { stretch: begun(withFirstScatter(placed, settings), settings), ended: null, refused: null }
    : heldAgainst(chosen, choice, placed, point, settings);
}

/** How a stretch is chosen in a row of blocks, with the scatter as it is where the row ends. */
export function stretchChoice(
  { row, recent, scatter }: StretchInHand,
  settings: WoundInAirSettings,
): StretchChoice {
  const last = row.blocks.at(-1);
  const end: Point = last === undefined ? (recent.at(-1) ?? [0, 0]) : [last[1], last[2]];
  return {
    deviation: deviationAt(end, scatter, settings),
    wantedNoise: settings.wantedNoiseM,
    longest: settings.law.longestStretch,
    window: settings.window,
  };
}

/** Standard deviation that the excess of a reading there has. */
function deviationAt(
  [position, excess]: Point,
  scatter: ReadingScatter,
  { law, caliperM, gaugeUncertaintyM }: WoundInAirSettings,
): number {
  const diameterM = law.diameterM(excess + caliperM * position);
  return scatterToUse(scatter, gaugeUncertaintyM) * law.ordinatePerDiameter(diameterM);
}

function heldAgainst(
  chosen: ChosenStretch,
  choice: StretchChoice,
  stretch: StretchInHand,
  point: Point,
  settings: WoundInAirSettings,
): StretchStep {
  const expected = expectedExcess(chosen.line, point[0]);
  const offset = point[1] - expected.value;
  const widening = Math.hypot(1, expected.noise / choice.deviation);
  const deviations = offset / (choice.deviation * widening);
  const scatterM = scatterToUse(stretch.scatter, settings.gaugeUncertaintyM);
  const scatter = scatterAfter(stretch.scatter, deviations * scatterM, settings.gaugeUncertaintyM);
  const seen = { ...stretch, scatter, unrest: unrestFades * stretch.unrest };
  return Math.abs(deviations) > gateDeviations
    ? refused(chosen, seen, point, deviations, settings)
    : used(chosen, choice, seen, point, deviations, settings);
}

function used(
  chosen: ChosenStretch,
  choice: StretchChoice,
  stretch: StretchInHand,
  point: Point,
  deviations: number,
  settings: WoundInAirSettings,
): StretchStep {
  const departure = departureAfter(stretch.departure, point[0], deviations);
  const from = departedFrom(departure);
  if (from !== null) return endedAt(from, chosen, stretch, settings);
  const row = rowWith(stretch.row, point, reachToKeep(chosen, choice));
  return { stretch: { ...stretch, row, departure, refusedInARow: 0 }, ended: null, refused: null };
}

/** Twice the stretch that will do, so that the one before it is there to compare with. */
function reachToKeep({ line }: ChosenStretch, { wantedNoise, longest, window }: StretchChoice): number {
  if (window !== null) return 2 * window;
  const neededLength = (line.to - line.from) * Math.max(1, line.noise / wantedNoise) ** (2 / 3);
  return 2 * Math.min(longest, neededLength);
}

function refused(
  chosen: ChosenStretch,
  stretch: StretchInHand,
  point: Point,
  deviations: number,
  settings: WoundInAirSettings,
): StretchStep {
  const waiting = { ...stretch, refusedInARow: Math.min(mostRecent, stretch.refusedInARow + 1) };
  const from = newLineFrom(waiting, deviations, settings);
  if (from !== null) return endedAt(from, chosen, waiting, settings);
  const text = `the diameter lies ${Math.abs(deviations).toFixed(0)} standard deviations ${deviations > 0 ? 'above' : 'below'} what was wound leads to expect`;
  return { stretch: waiting, ended: null, refused: reason('off-the-line', text, { deviations }) };
}

/**
 * From where the last readings lie on a line of their own; null where they do not. Five refused in a row will do; or three, with those before them
 * that already drifted off to the same side.
 */
function newLineFrom(
  stretch: StretchInHand,
  deviations: number,
  settings: WoundInAirSettings,
): number | null {
  const { recent, refusedInARow, departure } = stretch;
  const side = deviations > 0 ? departure.above : departure.below;
  const drifted = recent.filter(([position]) => position >= side.from);
  if (side.sum > 0 && refusedInARow >= confirmingRefusals && drifted.length < mostRecent) {
    if (agreeing(drifted, stretch, settings).length === drifted.length) return side.from;
  }
  const others = recent.slice(-refusedInARow);
  return agreeing(others, stretch, settings).length > 0 ? (others[0]?.[0] ?? null) : null;
}

/** The stretch ends where the readings left it; what came since begins the next. */
function endedAt(
  from: number,
  chosen: ChosenStretch,
  stretch: StretchInHand,
  settings: WoundInAirSettings,
): StretchStep {
  const old = chosenStretch(blocksBefore(stretch.row, from), stretchChoice(stretch, settings));
  const fresh = {
    ...stretch,
    row: noBlocks,
    freshFrom: from,
    refusedInARow: 0,
    departure: noDeparture,
    unrest: stretch.unrest + 1,
    before: slopeToRemember(old?.line ?? chosen.line, settings) ?? stretch.before,
  };
  const text = 'the diameter no longer grows as before: the film changed, or the gauge was moved';
  return { stretch: begun(fresh, settings), ended: reason('left-the-line', text, { from }), refused: null };
}

/** The stretch with its first readings, once enough of them agree. */
function begun(stretch: StretchInHand, settings: WoundInAirSettings): StretchInHand {
  const fresh = stretch.recent.filter(([position]) => position >= stretch.freshFrom);
  const points = agreeing(fresh, stretch, settings);
  return points.length === 0 ? stretch : { ...stretch, row: rowOfPoints(points) };
}

function agreeing(
  points: readonly Point[],
  { scatter }: StretchInHand,
  settings: WoundInAirSettings,
): readonly Point[] {
  const last = points.at(-1);
  return last === undefined ? [] : agreeingPoints(points, deviationAt(last, scatter, settings));
}

/** While there is no line, three readings tell the scatter: their second difference has six times the variance of one (independent readings). */
function withFirstScatter(stretch: StretchInHand, settings: WoundInAirSettings): StretchInHand {
  const [a, b, c] = stretch.recent.slice(-3);
  if (a === undefined || b === undefined || c === undefined) return stretch;
  const { law, caliperM, gaugeUncertaintyM } = settings;
  const perDiameter = law.ordinatePerDiameter(law.diameterM(b[1] + caliperM * b[0]));
  const offsetM = (a[1] - 2 * b[1] + c[1]) / (Math.sqrt(6) * perDiameter);
  return { ...stretch, scatter: scatterAfter(stretch.scatter, offsetM, gaugeUncertaintyM) };
}
