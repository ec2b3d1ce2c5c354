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
export function signalKey(signal: string, end: string): string {
  return `${signal}@${end}`;
}

/** The cell with one more reading in it. */
export function withReading(cell: Cell, reading: Reading): Cell {
  const key = signalKey(reading.signal, reading.end);
  const before = cell[key];
  return { ...cell, [key]: before === undefined ? firstOf(reading) : joined(before, reading) };
}

function firstOf({ atMs, value, uncertainty }: Reading): CellSignal {
  const number = typeof value === 'number' ? value : 0;
  return { atMs, value, uncertainty, min: number, max: number, sum: number, count: 1 };
}

function joined(before: CellSignal, reading: Reading): CellSignal {
  const latest =
    reading.atMs >= before.atMs
      ? { atMs: reading.atMs, value: reading.value, uncertainty: reading.uncertainty }
      : before;
  const number = typeof reading.value === 'number' ? reading.value : 0;
  const again = reading.atMs === before.atMs;
  return {
    atMs: latest.atMs,
    value: latest.value,
    uncertainty: latest.uncertainty,
    min: Math.min(before.min, number),
    max: Math.max(before.max, number),
    // A reading of the same instant replaces the one before instead of counting twice.
    sum: before.sum + number - (again && typeof before.value === 'number' ? before.value : 0),
    count: before.count + (again ? 0 : 1),
  };
}
