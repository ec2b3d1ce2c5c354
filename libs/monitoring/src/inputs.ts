import type { End, SignalName } from '@edge-margin/plant';
import { known, type Quantity, unknown } from '@edge-margin/units';
import type { InputReading } from './assessment.js';
import { signalKey } from './cell.js';
import type { MappedSignal } from './mapped-signals.js';
import { neverCame, notMapped, staleSince } from './words.js';

/** The latest value of a signal up to the last closed cell. */
export interface Latest {
  readonly atMs: number;
  readonly value: number | string;
  readonly uncertainty: number;
}

/** What the assessment may go by at one grid time: latest values, judged for age. */
export interface Inputs {
  readonly latest: Readonly<Record<string, Latest>>;
  readonly mapped: ReadonlyMap<string, MappedSignal>;
  readonly atMs: number;
  /** A signal is stale after this many of its expected periods. */
  readonly staleAfterPeriods: number;
  /** Since when the broker link is down, or null: then nothing that is reported by exception may be trusted either. */
  readonly linkDownSinceMs: number | null;
}

/** How long a lost link may last before values that are reported by exception count as stale. */
const linkGraceMs = 10_000;

/** Whether the latest value of a signal can be gone by. */
export function qualityOf(inputs: Inputs, signal: SignalName, end: End = 'both'): InputReading['quality'] {
  const key = signalKey(signal, end);
  const latest = inputs.latest[key];
  if (latest === undefined) return 'missing';
  const period = inputs.mapped.get(key)?.expectedPeriodS;
  if (period === undefined) {
    const down = inputs.linkDownSinceMs;
    return down !== null && inputs.atMs - down > linkGraceMs ? 'stale' : 'good';
  }
  return inputs.atMs - latest.atMs > period * 1000 * inputs.staleAfterPeriods ? 'stale' : 'good';
}

/** The signal's value, or why there is none to go by. */
export function inputQuantity(inputs: Inputs, signal: SignalName, end: End = 'both'): Quantity {
  const key = signalKey(signal, end);
  const latest = inputs.latest[key];
  if (!inputs.mapped.has(key) && latest === undefined) return unknown(notMapped(signal, end));
  if (latest === undefined) return unknown(neverCame(signal, end));
  if (qualityOf(inputs, signal, end) === 'stale') return unknown(staleSince(signal, end, latest.atMs));
  return typeof latest.value === 'number'
    ? known(latest.value, latest.uncertainty)
    : unknown(neverCame(signal, end));
}

/** The latest text of a text signal, however old: it holds until it is changed. */
export function inputText(inputs: Inputs, signal: SignalName): string | undefined {
  const value = inputs.latest[signalKey(signal, 'both')]?.value;
  return typeof value === 'string' ? value : undefined;
}

/** Every mapped signal with its latest value and quality, in the order of the plant file. */
export function inputReadings(inputs: Inputs): InputReading[] {
  const readings: InputReading[] = [];
  for (const { key, signal, end } of inputs.mapped.values()) {
    const latest = inputs.latest[key];
    if (latest === undefined) continue;
    const { atMs, value } = latest;
    readings.push({ signal, end, value, atMs, quality: qualityOf(inputs, signal, end) });
  }
  return readings;
}

/** The ends for which a per-end signal is given: both sides apart, or not told apart. */
export function endsGiven(inputs: Inputs, signals: readonly SignalName[]): readonly End[] {
  const given = (end: End): boolean => signals.some((signal) => inputs.mapped.has(signalKey(signal, end)));
  const sides = (['tending', 'drive'] as const).filter(given);
  return sides.length > 0 ? sides : (['both'] as const).filter(given);
}
