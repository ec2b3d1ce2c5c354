import { ENDS, type Pair } from '../winder/ends.js';
import type { RollState } from '../winder/roll-state.js';
import { buriedGapM, freeWraps, parted, type StackLoad } from '../winder/stack.js';
import type { StationModel } from '../winder/station-model.js';
import { addToBands, type FinishedBand, finishedBand } from './bands.js';
import { watchBoundary } from './boundary.js';
import type { BandTruth, EndValues, RollTruth } from './truth-record.js';

/** Notes what a period meant for the roll: boundary, contact lost; moves wraps that lie for good into their bands. */
export function noteRoll(
  model: StationModel,
  roll: RollState,
  load: StackLoad,
  period: { readonly endMs: number; readonly durationS: number; readonly lostRatio: Pair },
): { readonly roll: RollState; readonly truth: readonly BandTruth[] } {
  const { truth } = model.scenario;
  const now = { atMs: period.endMs, diameterM: 2 * roll.radiusM };
  const lost = Math.max(...period.lostRatio);
  const { held, rest } = parted(roll.stack, load);
  const isBeyond = freeWraps(roll.stack, load) > truth.freeWraps;
  return filled(model, period.endMs, held, {
    ...roll,
    ...buried(model, roll, held, load),
    stack: rest,
    boundary: watchBoundary(roll.boundary, isBeyond, now, truth.lastingS * 1000),
    contactLost: {
      first: roll.contactLost.first ?? (lost > 0 ? now : null),
      totalS: roll.contactLost.totalS + lost * period.durationS,
    },
  });
}

/** The roll sinks onto the wraps that are now buried. */
function buried(
  { station, grade }: StationModel,
  roll: RollState,
  held: RollState['stack'],
  load: StackLoad,
) {
  const gaps = held.map((wrap) => buriedGapM(wrap, load, station.buriedPressurePa));
  const sunkM = held.reduce((sum, wrap, i) => sum + wrap.gapM - (gaps[i] as number), 0);
  const last = gaps[gaps.length - 1];
  return { radiusM: roll.radiusM - sunkM, layerM: last === undefined ? roll.layerM : grade.caliperM + last };
}

/** Closes the roll: every wrap stays where it is, the last band is done, and the roll is judged. */
export function closeRoll(
  model: StationModel,
  roll: RollState,
  atMs: number,
): { readonly roll: RollState; readonly truth: readonly (BandTruth | RollTruth)[] } {
  const all = filled(model, atMs, roll.stack, { ...roll, stack: [] });
  const last = finishedBand(all.roll.band, model.scenario.truth.bandM);
  const lastTruth = bandTruth(model, atMs, roll.number, last);
  const closed = { ...all.roll, roughBands: withRough(all.roll.roughBands, lastTruth), isFinished: true };
  return { roll: closed, truth: [...all.truth, lastTruth, rollTruth(model, closed, atMs)] };
}

function filled(model: StationModel, atMs: number, wraps: RollState['stack'], roll: RollState) {
  const { band, finished } = addToBands(roll.band, wraps, model.scenario.truth.bandM);
  const truth = finished.map((one) => bandTruth(model, atMs, roll.number, one));
  return { roll: { ...roll, band, roughBands: truth.reduce(withRough, roll.roughBands) }, truth };
}

function withRough(sofar: RollState['roughBands'], band: BandTruth): RollState['roughBands'] {
  return band.rough
    ? [...sofar, { innerRadiusM: band.innerRadiusM, outerRadiusM: band.outerRadiusM }]
    : sofar;
}

function bandTruth(model: StationModel, atMs: number, roll: number, band: FinishedBand): BandTruth {
  return {
    kind: 'band',
    atMs,
    winder: model.winder,
    station: model.station.id,
    roll,
    innerRadiusM: rounded(band.innerRadiusM),
    outerRadiusM: rounded(band.outerRadiusM),
    wraps: band.wraps,
    edgeRmsM: { tending: rounded(band.tendingRmsM), drive: rounded(band.driveRmsM) },
    freeWraps: band.freeWraps,
    liftedWraps: band.liftedWraps,
    rough: Math.max(band.tendingRmsM, band.driveRmsM) > model.scenario.truth.roughEdgeM,
  };
}

function rollTruth(model: StationModel, roll: RollState, atMs: number): RollTruth {
  return {
    kind: 'roll',
    atMs,
    winder: model.winder,
    station: model.station.id,
    roll: roll.number,
    startedAtMs: roll.startedAtMs,
    coreDiameterM: model.station.coreDiameterM,
    diameterM: rounded(2 * roll.radiusM),
    wraps: Math.floor(roll.turns),
    lengthM: rounded(roll.lengthM),
    boundary: { first: roll.boundary.first, lasting: roll.boundary.lasting },
    contactLost: { first: roll.contactLost.first, totalS: rounded(roll.contactLost.totalS) },
    rough: roll.roughBands.length > 0,
    roughBands: roll.roughBands,
  };
}

/** One number for each end, by name. */
export function byEnd(pair: Pair): EndValues {
  const [tending, drive] = ENDS.map((_, i) => rounded(pair[i] as number)) as unknown as Pair;
  return { tending, drive };
}

/** Seven digits, so that the text stays short. */
export function rounded(value: number): number {
  return Number(value.toPrecision(7));
}
