import { exponential } from '../math/portable-math.js';
import { resumeStream, type StreamState } from '../random/random-stream.js';
import type { Instrument } from '../scenario/scenario-schema.js';

/** One instrument between two samples; `lagged` and `shown` are null before its first sample. */
export interface InstrumentState {
  readonly lagged: number | null;
  readonly shown: number | null;
  readonly stream: StreamState;
}

export interface Spell {
  readonly fromS: number;
  readonly forS: number;
}

/** Takes a sample: lag, gain, offset, drift, noise, range, step; `undefined` where the instrument gives no value. */
export function sample(
  instrument: Instrument,
  state: InstrumentState,
  truth: number,
  now: { readonly atS: number; readonly periodS: number },
): { readonly state: InstrumentState; readonly value: number | undefined } {
  const stream = resumeStream(state.stream);
  const noise = instrument.noise > 0 ? instrument.noise * stream.normal() : 0;
  const isMissing = instrument.missingChance > 0 && stream.uniform() < instrument.missingChance;
  const lagged = followed(state.lagged, truth, instrument.lagS, now.periodS);
  const drift = (instrument.driftPerHour * now.atS) / 3600;
  const raw = instrument.gain * lagged + instrument.offset + drift + noise;
  const held = isWithin(instrument.stuck, now.atS) ? state.shown : null;
  const shown = held ?? stepped(within(raw, instrument.range), instrument.quantum);
  const isAbsent = isMissing || isWithin(instrument.missing, now.atS);
  return { state: { lagged, shown, stream: stream.state() }, value: isAbsent ? undefined : shown };
}

/** Whether a moment lies in one of the spells (begin included, end not). */
export function isWithin(spells: readonly Spell[], atS: number): boolean {
  return spells.some(({ fromS, forS }) => atS >= fromS && atS < fromS + forS);
}

function followed(lagged: number | null, truth: number, lagS: number, periodS: number): number {
  if (lagged === null || lagS === 0) return truth;
  return truth + (lagged - truth) * exponential(-periodS / lagS);
}

function within(value: number, { low, high }: { readonly low: number; readonly high: number }): number {
  return Math.min(high, Math.max(low, value));
}

/** Rounded to the instrument's step, or to seven digits where it has none, so that the text of the number stays short. */
function stepped(value: number, quantum: number): number {
  return Number(quantum > 0 ? (Math.round(value / quantum) * quantum).toFixed(9) : value.toPrecision(7));
}
