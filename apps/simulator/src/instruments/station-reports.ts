import type { Station } from '../scenario/scenario-schema.js';
import { type End, ENDS, type Pair } from '../winder/ends.js';
import type { Report } from './gateway.js';
import { type InstrumentState, sample } from './instrument.js';
import type { StreamState } from '../random/random-stream.js';

/** What the instruments of a station look at, SI. */
export interface StationTruth {
  readonly speedMPerS: number;
  readonly diameterM: number;
  /** Over the whole width. */
  readonly tensionN: number;
  readonly isWinding: boolean;
  readonly loadNPerM: Pair;
  readonly peakTowardsMPerS2: Pair;
  readonly swingRatio: Pair;
  /** Of the core since the roll was begun. */
  readonly coreTurns: number;
}

const NIP_SIGNALS = ['load', 'peakAcceleration', 'swing'] as const;

const INSTRUMENT_NAMES: readonly string[] = [
  'speed',
  'diameter',
  'tension',
  ...ENDS.flatMap((end) => NIP_SIGNALS.map((signal) => `${signal}/${end}`)),
  'turns',
];

export type InstrumentStates = Readonly<Record<string, InstrumentState>>;

export function beginInstruments(streamFor: (name: string) => StreamState): InstrumentStates {
  return Object.fromEntries(
    INSTRUMENT_NAMES.map((name) => [name, { lagged: null, shown: null, stream: streamFor(name) }]),
  );
}

export interface StationTopics {
  readonly drive: string;
  readonly nip: Readonly<Record<End, string>>;
  readonly wave: Readonly<Record<End, string>>;
}

/** Samples every instrument of a station and words its messages; all values in the units in which they are published. */
export function stationReports(
  station: Station,
  gradeName: string,
  topics: StationTopics,
  states: InstrumentStates,
  truth: StationTruth,
  now: { readonly atS: number; readonly periodS: number },
): { readonly states: InstrumentStates; readonly drive: readonly Report[]; readonly nip: readonly Report[] } {
  const published = publishedValues(truth);
  const next: Record<string, InstrumentState> = {};
  const shown: Record<string, number | undefined> = {};
  for (const name of INSTRUMENT_NAMES) {
    const instrument = station.instruments[name.split('/')[0] as keyof Station['instruments']];
    if (instrument === undefined) continue;
    const taken = sample(instrument, states[name] as InstrumentState, published[name] as number, now);
    next[name] = taken.state;
    shown[name] = taken.value;
  }
  return {
    states: next,
    drive: [driveReport(topics.drive, shown, truth.isWinding, gradeName)],
    nip: station.nip === null ? [] : ENDS.map((end) => nipReport(topics.nip[end], shown, end)),
  };
}

/** m/min, mm, N, kN/m, m/s2, %. */
function publishedValues(truth: StationTruth): Readonly<Record<string, number>> {
  const values: Record<string, number> = {
    speed: truth.speedMPerS * 60,
    diameter: truth.diameterM * 1000,
    tension: truth.tensionN,
    turns: truth.coreTurns,
  };
  ENDS.forEach((end, i) => {
    values[`load/${end}`] = (truth.loadNPerM[i] as number) / 1000;
    values[`peakAcceleration/${end}`] = truth.peakTowardsMPerS2[i] as number;
    values[`swing/${end}`] = (truth.swingRatio[i] as number) * 100;
  });
  return values;
}

type Shown = Readonly<Record<string, number | undefined>>;

function driveReport(topic: string, shown: Shown, isWinding: boolean, grade: string): Report {
  const { speed, diameter, tension, turns } = shown as Partial<
    Record<'speed' | 'diameter' | 'tension' | 'turns', number>
  >;
  return {
    topic,
    retain: false,
    payload: (n, t) =>
      JSON.stringify({ t, n, speed, diameter, tension, turns, winding: isWinding ? 1 : 0, grade }),
  };
}

function nipReport(topic: string, shown: Shown, end: End): Report {
  const [load, peakAcceleration, swing] = NIP_SIGNALS.map((signal) => shown[`${signal}/${end}`]);
  return {
    topic,
    retain: false,
    payload: (_, t) => JSON.stringify({ t: new Date(t).toISOString(), load, peakAcceleration, swing }),
  };
}
