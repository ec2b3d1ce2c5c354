import { cosineOfTurns, exponential, PI, sineOfTurns } from '../math/portable-math.js';
import { resumeStream, type StreamState } from '../random/random-stream.js';
import type { Nip, Wave } from '../scenario/scenario-schema.js';
import type { Pair } from './ends.js';
import type { NipMechanics } from './nip-mechanics.js';
import type { RollerTrace } from './roller-motion.js';
import { lengthShare, type Stretch } from './stretch.js';

/** A block of wave form that is being gathered. */
export interface WaveState {
  /** Time since the begin of the last block; null: none yet. */
  readonly sinceS: number | null;
  readonly taken: number;
  readonly accelerationMPerS2: readonly [readonly number[], readonly number[]];
  readonly cellN: readonly [readonly number[], readonly number[]];
  readonly stream: StreamState;
}

/** A block that is full. Acceleration towards the roll positive, as the accelerometer shows it; force of the cells, N. */
export interface WaveBlock {
  /** Time from its first sample to now. */
  readonly ageS: number;
  readonly rateHz: number;
  readonly accelerationMPerS2: readonly [readonly number[], readonly number[]];
  readonly cellN: readonly [readonly number[], readonly number[]] | null;
}

export function beginWave(stream: StreamState): WaveState {
  return { sinceS: null, taken: 0, accelerationMPerS2: [[], []], cellN: [[], []], stream };
}

export interface WavePeriod {
  readonly stretch: Stretch;
  readonly trace: RollerTrace;
  readonly mechanics: NipMechanics;
}

const RUNG_OUT = 6; // time constants after which a pulse is forgotten

/** Gathers the samples of one period (between two steps of the roller: straight line); hands out a block that is full. */
export function advanceWave(
  nip: Nip,
  wave: Wave,
  from: WaveState,
  period: WavePeriod,
): { readonly state: WaveState; readonly block: WaveBlock | null } {
  const { durationS } = period.stretch;
  const before = from.sinceS ?? Infinity;
  const isNew = before >= wave.everyS - durationS / 2;
  const start = isNew ? { ...beginWave(from.stream), sinceS: 0 } : { ...from, sinceS: before };
  const whole = Math.round(wave.lengthS * wave.rateHz);
  const sinceS = start.sinceS + durationS;
  if (start.taken >= whole) return { state: { ...start, sinceS }, block: null };
  const stream = resumeStream(start.stream);
  const accelerations: [number[], number[]] = [
    [...start.accelerationMPerS2[0]],
    [...start.accelerationMPerS2[1]],
  ];
  const cells: [number[], number[]] = [[...start.cellN[0]], [...start.cellN[1]]];
  let { taken } = start;
  while (taken < whole && taken / wave.rateHz < sinceS - 1e-9) {
    const share = (taken / wave.rateHz - start.sinceS) / durationS;
    const seen = seenAt(nip, period, share);
    for (const end of [0, 1] as const) {
      const noise = wave.noiseMPerS2 > 0 ? wave.noiseMPerS2 * stream.normal() : 0;
      accelerations[end].push(wave.gain * (seen.accelerationMPerS2[end] + noise));
      if (wave.load) cells[end].push(seen.cellN[end]);
    }
    taken += 1;
  }
  const state: WaveState = {
    sinceS,
    taken,
    accelerationMPerS2: accelerations,
    cellN: cells,
    stream: stream.state(),
  };
  if (taken < whole) return { state, block: null };
  const block: WaveBlock = {
    ageS: sinceS,
    rateHz: wave.rateHz,
    accelerationMPerS2: accelerations,
    cellN: wave.load ? cells : null,
  };
  return { state: { ...state, accelerationMPerS2: [[], []], cellN: [[], []] }, block };
}

function seenAt(nip: Nip, { stretch, trace, mechanics }: WavePeriod, share: number) {
  const along =
    stretch.lengthM.from + lengthShare(stretch, share) * (stretch.lengthM.to - stretch.lengthM.from);
  const roller = {
    turns: along / (PI * nip.rollerDiameterM),
    perS:
      (stretch.speedMPerS.from * (1 - share) + stretch.speedMPerS.to * share) / (PI * nip.rollerDiameterM),
  };
  const atS = stretch.fromS + share * stretch.durationS;
  const lines =
    nip.structureLines.reduce(
      (sum, line) => sum + line.accelerationMPerS2 * cosineOfTurns(line.frequencyHz * atS),
      0,
    ) +
    (nip.gearMesh === undefined || roller.perS === 0
      ? 0
      : nip.gearMesh.accelerationMPerS2 * cosineOfTurns(nip.gearMesh.teeth * roller.turns));
  const body = (end: 0 | 1): number => at(trace.accelerationMPerS2[end], share);
  const accelerationMPerS2: Pair = [
    lines + bearingsAt(nip, 'tending', roller) - body(0),
    lines + bearingsAt(nip, 'drive', roller) - body(1),
  ];
  const cell = (end: 0 | 1): number => at(trace.loadN[end], share) - mechanics.inboardMassKg * body(end);
  return { accelerationMPerS2, cellN: [cell(0), cell(1)] as Pair };
}

/** Pulses of the damaged bearings of one end: each rings out, `A exp(-t/tau) sin(2 pi f t)`. */
function bearingsAt(
  nip: Nip,
  end: 'tending' | 'drive',
  roller: { readonly turns: number; readonly perS: number },
): number {
  if (roller.perS <= 0) return 0;
  let sum = 0;
  for (const bearing of nip.bearings) {
    if (bearing.end !== end) continue;
    const passes = bearing.passesPerTurn * (1 - bearing.slipRatio);
    const perS = passes * roller.perS;
    const gone = passes * roller.turns;
    let sinceS = (gone - Math.floor(gone)) / perS;
    for (; sinceS < RUNG_OUT * bearing.decayS; sinceS += 1 / perS)
      sum +=
        bearing.accelerationMPerS2 *
        exponential(-sinceS / bearing.decayS) *
        sineOfTurns(bearing.ringHz * sinceS);
  }
  return sum;
}

/** A trace (values at the ends of the steps) at a share of the period. */
function at(values: Float64Array, share: number): number {
  const x = Math.max(0, share * values.length - 1);
  const left = Math.min(values.length - 1, Math.floor(x));
  const right = Math.min(values.length - 1, left + 1);
  return (values[left] as number) + (x - left) * ((values[right] as number) - (values[left] as number));
}
