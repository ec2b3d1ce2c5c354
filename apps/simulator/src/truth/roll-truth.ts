import { gapOnPeaksM } from '../winder/gap.js';
import { ENDS, type Pair } from '../winder/ends.js';
import { periodicCauses } from '../winder/periodic-causes.js';
import type { RollState, StripRoll } from '../winder/roll-state.js';
import type { Acting } from '../winder/set-points.js';
import { buriedGapM, freeWraps, parted, type StackLoad } from '../winder/stack.js';
import type { StationModel } from '../winder/station-model.js';
import type { StripPlan } from '../winder/strip-plan.js';
import type { WebPeriod } from '../winder/web.js';
import { meanOf, stackLoad } from '../winder/wind.js';
import { addToBands, type FinishedBand, finishedBand } from './bands.js';
import { watchBoundary } from './boundary.js';
import { addToEdges, NO_EDGES } from './edges.js';
import { watchRings } from './ring-watch.js';
import type { BandTruth, EdgesTruth, EndValues, Ring, RollTruth } from './truth-record.js';

/** What a period meant for a roll. */
export interface NotedPeriod {
  readonly endMs: number;
  readonly durationS: number;
  readonly lostRatio: Pair;
  readonly web: WebPeriod | null;
  readonly speedMPerS: number;
}

/** Notes what a period meant for every strip: boundary, contact lost; moves wraps that lie for good into their bands. */
export function noteRoll(
  model: StationModel,
  roll: RollState,
  acting: Acting,
  period: NotedPeriod,
): { readonly roll: RollState; readonly truth: readonly (BandTruth | EdgesTruth)[] } {
  const lost = Math.max(...period.lostRatio);
  const now = { atMs: period.endMs, diameterM: 2 * roll.radiusM };
  const noted = model.strips.map((plan, i) =>
    noteStrip(model, plan, roll, roll.strips[i] as StripRoll, acting, period.endMs),
  );
  const strips = noted.map((one) => one.strip);
  const knives = [...new Set(model.strips.flatMap((plan) => plan.knives ?? []))];
  return {
    roll: {
      ...roll,
      radiusM: meanOf(model.strips, strips, ({ radiusM }) => radiusM),
      layerM: meanOf(model.strips, strips, ({ layerM }) => layerM),
      strips,
      rings: watchRings(roll.rings, periodicCauses(model, knives, period), now.diameterM),
      contactLost: {
        first: roll.contactLost.first ?? (lost > 0 ? now : null),
        totalS: roll.contactLost.totalS + lost * period.durationS,
      },
    },
    truth: noted.flatMap((one) => one.truth),
  };
}

function noteStrip(
  model: StationModel,
  plan: StripPlan,
  roll: RollState,
  strip: StripRoll,
  acting: Acting,
  endMs: number,
) {
  const { truth } = model.scenario;
  const load = stackLoad(model, acting, strip.radiusM, plan.widthM);
  const { held, rest } = parted(strip.stack, load);
  const isBeyond = freeWraps(strip.stack, load) > truth.freeWraps;
  return filled(model, { roll: roll.number, plan, endMs }, held, {
    ...strip,
    ...buried(model, plan, strip, held, load),
    stack: rest,
    boundary: watchBoundary(
      strip.boundary,
      isBeyond,
      { atMs: endMs, diameterM: 2 * strip.radiusM },
      truth.lastingS * 1000,
    ),
  });
}

/** The strip sinks onto the wraps that are now buried; the web itself gives way a little where a radial modulus is given. */
function buried(
  { station, grade }: StationModel,
  plan: StripPlan,
  strip: StripRoll,
  held: StripRoll['stack'],
  load: StackLoad,
) {
  if (held.length === 0) return {};
  const pressurePa = station.buriedPressurePa;
  const gaps = held.map((wrap) => buriedGapM(wrap, load, pressurePa));
  const { radialModulusPa } = station.rollBody;
  const caliperM = grade.caliperM * plan.caliperRatio;
  const squeezedM = radialModulusPa === undefined ? 0 : (caliperM * pressurePa) / radialModulusPa;
  const sunkM = held.reduce((sum, wrap, i) => sum + wrap.gapM - (gaps[i] as number) + squeezedM, 0);
  const onPeaksM = gapOnPeaksM(grade.peaks, pressurePa);
  return {
    radiusM: strip.radiusM - sunkM,
    layerM: caliperM - squeezedM + (gaps[gaps.length - 1] as number),
    airM: strip.airM + gaps.reduce((sum, gap) => sum + Math.max(0, gap - onPeaksM), 0),
  };
}

/** Closes the rolls: every wrap stays where it is, the last band is done, and each roll is judged. */
export function closeRoll(
  model: StationModel,
  roll: RollState,
  atMs: number,
): { readonly roll: RollState; readonly truth: readonly (BandTruth | EdgesTruth | RollTruth)[] } {
  const closed = model.strips.map((plan, i) =>
    closeStrip(model, roll, plan, roll.strips[i] as StripRoll, atMs),
  );
  return {
    roll: { ...roll, strips: closed.map((one) => one.strip), isFinished: true },
    truth: closed.flatMap((one) => one.truth),
  };
}

function closeStrip(model: StationModel, roll: RollState, plan: StripPlan, strip: StripRoll, atMs: number) {
  const at = { roll: roll.number, plan, endMs: atMs };
  const all = filled(model, at, strip.stack, { ...strip, stack: [] });
  const last = finishedBand(all.strip.band, model.scenario.truth.bandM);
  const lastTruth = bandTruth(model, at, last);
  const lastEdges = edgesTruth(model, at, all.strip);
  const closed: StripRoll = {
    ...all.strip,
    edges: withBand({ ...all.strip.edges, told: NO_EDGES }, last),
    roughBands: withRough(all.strip.roughBands, lastTruth),
  };
  return {
    strip: closed,
    truth: [...all.truth, lastTruth, ...lastEdges, rollTruth(model, roll, plan, closed, atMs)],
  };
}

interface StripMoment {
  readonly roll: number;
  readonly plan: StripPlan;
  readonly endMs: number;
}

function filled(model: StationModel, at: StripMoment, wraps: StripRoll['stack'], strip: StripRoll) {
  const { truth: how } = model.scenario;
  const { band, finished } = addToBands(strip.band, wraps, how.bandM);
  const truth = finished.map((one) => bandTruth(model, at, one));
  const edges = finished.reduce(withBand, addToEdges(strip.edges, wraps, how.edgesEveryWraps));
  const isTold = finished.length > 0 || edges.told.radiusM.length >= MOST_TOLD;
  const edgesNow = isTold ? edgesTruth(model, at, { ...strip, edges }) : [];
  return {
    strip: {
      ...strip,
      band,
      edges: isTold ? { ...edges, told: NO_EDGES } : edges,
      roughBands: truth.reduce(withRough, strip.roughBands),
    },
    truth: [...truth, ...edgesNow],
  };
}

const MOST_TOLD = 500; // wraps a record

/** The first wrap on a core has no neighbour below it; its step counts as nothing. */
function withBand(edges: StripRoll['edges'], band: FinishedBand): StripRoll['edges'] {
  return {
    ...edges,
    steps: edges.steps + band.wraps,
    squares: [edges.squares[0] + band.squares[0], edges.squares[1] + band.squares[1]],
  };
}

function edgesTruth(model: StationModel, at: StripMoment, { edges }: StripRoll): readonly EdgesTruth[] {
  const { told } = edges;
  if (told.radiusM.length === 0) return [];
  return [
    {
      kind: 'edges',
      atMs: at.endMs,
      winder: model.winder,
      station: model.station.id,
      roll: at.roll,
      ...stripNumber(model, at.plan),
      fromWrap: told.fromWrap,
      everyWraps: model.scenario.truth.edgesEveryWraps,
      radiusM: told.radiusM.map(rounded),
      tendingM: told.tendingM.map(rounded),
      driveM: told.driveM.map(rounded),
    },
  ];
}

function stripNumber(model: StationModel, plan: StripPlan): { readonly strip?: number } {
  return model.strips.length > 1 ? { strip: plan.index } : {};
}

function withRough(sofar: StripRoll['roughBands'], band: BandTruth): StripRoll['roughBands'] {
  return band.rough
    ? [...sofar, { innerRadiusM: band.innerRadiusM, outerRadiusM: band.outerRadiusM }]
    : sofar;
}

function bandTruth(model: StationModel, at: StripMoment, band: FinishedBand): BandTruth {
  return {
    kind: 'band',
    atMs: at.endMs,
    winder: model.winder,
    station: model.station.id,
    roll: at.roll,
    ...stripNumber(model, at.plan),
    innerRadiusM: rounded(band.innerRadiusM),
    outerRadiusM: rounded(band.outerRadiusM),
    wraps: band.wraps,
    edgeRmsM: { tending: rounded(band.tendingRmsM), drive: rounded(band.driveRmsM) },
    freeWraps: band.freeWraps,
    liftedWraps: band.liftedWraps,
    rough: Math.max(band.tendingRmsM, band.driveRmsM) > model.scenario.truth.roughEdgeM,
  };
}

function rollTruth(
  model: StationModel,
  roll: RollState,
  plan: StripPlan,
  strip: StripRoll,
  atMs: number,
): RollTruth {
  const { squares, steps } = strip.edges;
  const rms = (sum: number): number => (steps === 0 ? 0 : Math.sqrt(sum / steps));
  return {
    kind: 'roll',
    atMs,
    winder: model.winder,
    station: model.station.id,
    roll: roll.number,
    ...stripNumber(model, plan),
    startedAtMs: roll.startedAtMs,
    coreDiameterM: model.station.coreDiameterM,
    diameterM: rounded(2 * strip.radiusM),
    wraps: Math.floor(roll.turns),
    lengthM: rounded(roll.lengthM),
    boundary: { first: strip.boundary.first, lasting: strip.boundary.lasting },
    contactLost: { first: roll.contactLost.first, totalS: rounded(roll.contactLost.totalS) },
    rough: strip.roughBands.length > 0,
    roughBands: strip.roughBands,
    edgeRmsM: byEnd([rms(squares[0]), rms(squares[1])]),
    rings: roll.rings.rings.filter(({ cause }) => reaches(plan, cause)).map(roundedRing),
    events: roll.events.map((event) => ({ ...event, diameterM: rounded(event.diameterM) })),
    remeasuredDiameterM: rounded(2 * (strip.radiusM - strip.airM)),
    coreTurns: rounded(roll.turns),
    ...(plan.lanes.length > 1 ? { lanes: laneTruth(plan, strip) } : {}),
  };
}

/** Of the knives only those that cut this strip. */
function reaches({ knives }: StripPlan, cause: string): boolean {
  const number = cause.startsWith('knife ') ? Number(cause.slice('knife '.length)) : null;
  return number === null || number === knives?.[0] || number === knives?.[1];
}

function roundedRing(ring: Ring): Ring {
  return { ...ring, diameterM: rounded(ring.diameterM) };
}

function laneTruth(plan: StripPlan, strip: StripRoll) {
  return plan.lanes.map((lane, l) => ({
    fromM: rounded(lane.fromM),
    toM: rounded(lane.toM),
    heightM: rounded(strip.laneHeightsM[l] ?? 0),
  }));
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
