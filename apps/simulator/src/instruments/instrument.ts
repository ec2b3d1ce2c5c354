import { exponential } from '../math/portable-math.js';
import { resumeStream, type StreamState } from '../random/random-stream.js';
import type { Instrument } from '../scenario/scenario-schema.js';

/** One instrument between two samples; `lagged` and `shown` are null before its first sample. */
export interface InstrumentState {
  readonly lagged: number | null;
  readonly shown: number | null;
  readonly stream: StreamState;
  /** Told last, and when; only where it reports by exception. */
  readonly told?: { readonly value: number; readonly atS: number };
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
  const jumped = instrument.jumps.reduce((sum, jump) => sum + (now.atS >= jump.atS ? jump.add : 0), 0);
  const scaled = instrument.scaled.reduce(
    (all, one) => (isWithin([one], now.atS) ? all * one.factor : all),
    1,
  );
  const raw = scaled * (instrument.gain * lagged + instrument.offset + drift + noise + jumped);
  const held = isWithin(instrument.stuck, now.atS) ? state.shown : null;
  const shown = held ?? stepped(within(raw, instrument.range), instrument.quantum);
  const isAbsent = isMissing || isWithin(instrument.missing, now.atS);
  const next = { lagged, shown, stream: stream.state() };
  if (instrument.byException === undefined) return { state: next, value: isAbsent ? undefined : shown };
  if (isAbsent || !isNews(instrument.byException, state.told, shown, now.atS))
    return { state: state.told === undefined ? next : { ...next, told: state.told }, value: undefined };
  return { state: { ...next, told: { value: shown, atS: now.atS } }, value: shown };
}

/** Whether a value differs enough from the one told last, or that one is too old. */
function isNews(
  how: NonNullable<Instrument['byException']>,
  told: InstrumentState['told'],
  value: number,
  atS: number,
): boolean {
  if (told === undefined) return true;
  return Math.abs(value - told.value) > how.deadband || atS - told.atS >= how.everyS - 1e-9;
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
