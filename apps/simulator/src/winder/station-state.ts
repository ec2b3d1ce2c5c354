import type { GatewayState } from '../instruments/gateway.js';
import { beginInstruments, type InstrumentStates } from '../instruments/station-reports.js';
import { exponential } from '../math/portable-math.js';
import { resumeStream, type StreamState } from '../random/random-stream.js';
import { seedStream } from '../random/seed-stream.js';
import type { Grade, Station } from '../scenario/scenario-schema.js';
import type { Pair } from './ends.js';
import { beginLine, type LineState } from './line.js';
import type { NipState } from './nip-motion.js';
import { OPEN_NIP } from './nip-summary.js';
import { type OperatorState, UNTOUCHED } from './operator.js';
import { SMOOTH } from './print.js';
import { type RollState, rollOnCore } from './roll-state.js';
import type { StationModel } from './station-model.js';
import { beginWave } from './wave-block.js';
import { beginWander, type Wander, type Wandering } from './wander.js';

export const DISTURBANCES = [
  'speed',
  'tension',
  'nipLoad',
  'nipLean',
  'path',
  'skew',
  'film',
  'shaft',
] as const;
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
  /** Drawn once a run, one for all stations of a winder: the irregular errors of the knives. */
  readonly cutSeed: number;
  /** How far the last change of speed has moved the shaft in its end play. */
  readonly shaftJumpM: number;
  /** Chance in what the crew does and in the shaft's jumps. */
  readonly crew: StreamState;
  readonly instruments: InstrumentStates;
  readonly gateways: { readonly drive: GatewayState; readonly nip: GatewayState };
  /** Larger load swing of both ends in the last period, as a crew would see it. */
  readonly seenSwingRatio: number;
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
    shaft: shaftWandering(station),
  };
}

/** Three standard deviations fill the end play. */
function shaftWandering({ path: { shaft } }: Station): Wandering {
  return shaft === undefined ? { rms: 0, timeS: 1 } : { rms: shaft.playM / 6, timeS: shaft.timeS };
}

/** A station at the start of a run, threading its first roll. */
export function beginStation(
  { winder, station, grade, strips, line }: StationModel,
  run: { readonly seed: number; readonly startMs: number },
): StationState {
  const name = `${winder}/${station.id}`;
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
    roll: firstRoll(station, grade, strips, run.startMs),
    nip: beginNip(station, line, { surface: stream('surface'), wave: stream('wave') }),
    disturbances: Object.fromEntries(DISTURBANCES.map(started)) as Record<Disturbance, Wander>,
    filmBias: drawnBias(
      grade,
      // stations that wind one web of one grade have one bias
      line === undefined
        ? stream('film-bias')
        : seedStream(run.seed, `${winder}/line/film-bias/${station.grade}`),
    ),
    cutSeed: seedStream(run.seed, `${winder}/cut`)[0] | 0,
    shaftJumpM: 0,
    crew: stream('crew'),
    instruments: beginInstruments((instrument) => stream(`instrument/${instrument}`)),
    gateways: { drive: gateway('drive'), nip: gateway('nip') },
    seenSwingRatio: 0,
    worst: NOTHING_WORSE,
  };
}

function drawnBias({ film }: Grade, seed: ReturnType<typeof seedStream>): number {
  return film.bias.median * exponential(film.bias.spread * resumeStream(seed).normal());
}

function firstRoll(
  station: Station,
  grade: Grade,
  strips: StationModel['strips'],
  startMs: number,
): RollState {
  const diameterM = station.firstDiameterM ?? station.coreDiameterM;
  const turns = (diameterM - station.coreDiameterM) / 2 / grade.caliperM;
  return rollOnCore({
    number: 1,
    startedAtMs: startMs,
    radiusM: diameterM / 2,
    turns,
    layerM: grade.caliperM,
    strips,
  });
}

/** The first roll is found with the nip closed. */
function beginNip(
  station: Station,
  line: StationModel['line'],
  streams: { readonly surface: StreamState; readonly wave: StreamState },
): NipState | null {
  const { nip } = station;
  if (nip === null) return null;
  const force = (nip.loadNPerM * station.widthM) / 2;
  const closingN: Pair = [force * (1 + nip.leanRatio), force * (1 - nip.leanRatio)];
  const prints =
    nip.selfExcited !== undefined || line?.unwind !== undefined || (line?.splices ?? []).length > 0;
  return {
    closedRatio: 1,
    closingN,
    roller: null,
    noise: { inner: [0, 0], outer: [0, 0], stream: streams.surface },
    ...(prints ? { print: SMOOTH } : {}),
    ...(nip.wave === undefined ? {} : { wave: beginWave(streams.wave) }),
  };
}
