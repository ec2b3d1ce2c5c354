import { type End, type SignalName, signalNames } from '@edge-margin/plant';
import type { Reading } from '@edge-margin/telemetry';

/** What was read of one signal at one end within one cell of the event-time grid. The order of arrival within a cell does not matter. */
export interface CellSignal {
  /** The latest reading of the cell by event time; of two with the same time, the one that came last. */
  readonly atMs: number;
  readonly value: number | string;
  readonly uncertainty: number;
  /** Of the number readings. */
  readonly min: number;
  readonly max: number;
  readonly sum: number;
  readonly count: number;
}

/** One cell: signal key to what was read. */
export type Cell = Readonly<Record<string, CellSignal>>;

/** `signal@end`. */
export function signalKey(signal: SignalName, end: End): string {
  return keys[signal][end];
}

/** Every key once, as it is asked for by the dozen with every reading and every assessment. */
const keys = Object.fromEntries(
  signalNames.map((signal) => [
    signal,
    { tending: `${signal}@tending`, drive: `${signal}@drive`, both: `${signal}@both` },
  ]),
) as Readonly<Record<SignalName, Readonly<Record<End, string>>>>;

/** A cell that is not closed yet, changed in place. */
export type OpenCell = Record<string, OpenCellSignal>;

type OpenCellSignal = { -readonly [Key in keyof CellSignal]: CellSignal[Key] };

/** Puts one more reading into the cell. */
export function addReading(cell: OpenCell, reading: Reading): void {
  const key = signalKey(reading.signal, reading.end);
  const signal = cell[key];
  if (signal === undefined) cell[key] = firstOf(reading);
  else join(signal, reading);
}

function firstOf({ atMs, value, uncertainty }: Reading): OpenCellSignal {
  const number = typeof value === 'number' ? value : 0;
  return { atMs, value, uncertainty, min: number, max: number, sum: number, count: 1 };
}

function join(signal: OpenCellSignal, { atMs, value, uncertainty }: Reading): void {
  const number = typeof value === 'number' ? value : 0;
  const again = atMs === signal.atMs;
  signal.min = Math.min(signal.min, number);
  signal.max = Math.max(signal.max, number);
  // A reading of the same instant replaces the one before instead of counting twice.
  signal.sum = signal.sum + number - (again && typeof signal.value === 'number' ? signal.value : 0);
  if (!again) signal.count += 1;
  if (atMs < signal.atMs) return;
  signal.atMs = atMs;
  signal.value = value;
  signal.uncertainty = uncertainty;
}
