import type { GatewayState } from '../instruments/gateway.js';
import { beginInstruments, type InstrumentStates } from '../instruments/station-reports.js';
import { exponential } from '../math/portable-math.js';
import { resumeStream } from '../random/random-stream.js';
import { seedStream } from '../random/seed-stream.js';
import type { Grade, Station } from '../scenario/scenario-schema.js';
import type { Pair } from './ends.js';
import { beginLine, type LineState } from './line.js';
import type { NipState } from './nip-motion.js';
import { OPEN_NIP } from './nip-summary.js';
import { type OperatorState, UNTOUCHED } from './operator.js';
import { type RollState, rollOnCore } from './roll-state.js';
import { beginWander, type Wander, type Wandering } from './wander.js';

export const DISTURBANCES = ['speed', 'tension', 'nipLoad', 'nipLean', 'path', 'skew', 'film'] as const;
export type Disturbance = (typeof DISTURBANCES)[number];

/** Everything about one station between two sample periods: plain data. */
export interface StationState {
  readonly line: LineState;
  readonly speedMPerS: number;
  /** Web wound since the start of the run. */
  readonly webM: number;
  readonly operator: OperatorState;
  readonly roll: RollState;
  readonly nip: NipState | null;
  readonly disturbances: Readonly<Record<Disturbance, Wander>>;
  /** Drawn once a run. */
  readonly filmBias: number;
  readonly instruments: InstrumentStates;
  readonly gateways: { readonly drive: GatewayState; readonly nip: GatewayState };
  /** Worst since the last record of the true state. */
  readonly worst: { readonly lostRatio: Pair; readonly inertiaRatio: Pair; readonly swingRatio: Pair };
}

export const NOTHING_WORSE = {
  lostRatio: OPEN_NIP.lostRatio,
  inertiaRatio: OPEN_NIP.inertiaRatio,
  swingRatio: OPEN_NIP.swingRatio,
};

/** How each disturbance of a station wanders. */
export function wanderings(station: Station, grade: Grade): Readonly<Record<Disturbance, Wandering>> {
  const still = { rms: 0, timeS: 1 };
  return {
    speed: station.speedWander,
    tension: station.tension.wander,
    nipLoad: station.nip?.drift ?? still,
    nipLean: station.nip?.leanDrift ?? still,
    path: station.path.wander,
    skew: station.path.skew,
    film: grade.film.noise,
  };
}

/** A station at the start of a run, threading its first roll. */
export function beginStation(
  name: string,
  station: Station,
  grade: Grade,
  run: { readonly seed: number; readonly startMs: number },
): StationState {
  const stream = (purpose: string) => seedStream(run.seed, `${name}/${purpose}`);
  const how = wanderings(station, grade);
  const started = (d: Disturbance) => [d, beginWander(how[d], stream(`disturbance/${d}`))] as const;
  const gateway = (purpose: string): GatewayState => ({
    sequence: 0,
    underWay: [],
    lastArrivalMs: 0,
    stream: stream(`gateway/${purpose}`),
  });
  return {
    line: beginLine(station.programme),
    speedMPerS: 0,
    webM: 0,
    operator: UNTOUCHED,
    roll: firstRoll(station, grade, run.startMs),
    nip: beginNip(station, stream('surface')),
    disturbances: Object.fromEntries(DISTURBANCES.map(started)) as Record<Disturbance, Wander>,
    filmBias: drawnBias(grade, stream('film-bias')),
    instruments: beginInstruments((instrument) => stream(`instrument/${instrument}`)),
    gateways: { drive: gateway('drive'), nip: gateway('nip') },
    worst: NOTHING_WORSE,
  };
}

function drawnBias({ film }: Grade, seed: ReturnType<typeof seedStream>): number {
  return film.bias.median * exponential(film.bias.spread * resumeStream(seed).normal());
}

function firstRoll(station: Station, grade: Grade, startMs: number): RollState {
  const diameterM = station.firstDiameterM ?? station.coreDiameterM;
  const turns = (diameterM - station.coreDiameterM) / 2 / grade.caliperM;
  return rollOnCore({
    number: 1,
    startedAtMs: startMs,
    radiusM: diameterM / 2,
    turns,
    layerM: grade.caliperM,
  });
}

/** The first roll is found with the nip closed. */
function beginNip(station: Station, stream: NipState['noise']['stream']): NipState | null {
  if (station.nip === null) return null;
  const force = (station.nip.loadNPerM * station.widthM) / 2;
  const closingN: Pair = [force * (1 + station.nip.leanRatio), force * (1 - station.nip.leanRatio)];
  return {
    closedRatio: 1,
    closingN,
    roller: null,
    noise: { inner: [0, 0], outer: [0, 0], stream },
  };
}
