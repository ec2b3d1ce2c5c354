import { addReading, type Cell, type OpenCell } from './cell.js';
import type { Reading } from '@edge-margin/telemetry';
import type { StationState } from './station-state.js';

/**
 * A station while rows are being folded. What every reading changes is changed in place; the rest is a value, replaced when a cell is closed.
 */
export interface OpenStation {
  /** All but the three below, which hold instead of those in it. */
  settled: StationState;
  watermarkMs: number | null;
  lagMs: number;
  readonly cells: Map<number, OpenCell>;
}

/** Opens a station; the state itself stays as it is. */
export function openStation(state: StationState): OpenStation {
  const { watermarkMs, lagMs } = state;
  const cells = Object.entries(state.cells).map(([index, cell]) => [Number(index), copied(cell)] as const);
  return { settled: state, watermarkMs, lagMs, cells: new Map(cells) };
}

/** The state as it stands: what is folded later does not change it. */
export function stationState({ settled, watermarkMs, lagMs, cells }: OpenStation): StationState {
  const copies = [...cells].map(([index, cell]) => [index, copied(cell)] as const);
  return { ...settled, watermarkMs, lagMs, cells: Object.fromEntries(copies) };
}

/** Puts a reading into its cell. */
export function putIntoCell({ cells }: OpenStation, index: number, reading: Reading): void {
  let cell = cells.get(index);
  if (cell === undefined) {
    cell = {};
    cells.set(index, cell);
  }
  addReading(cell, reading);
}

function copied(cell: Cell): OpenCell {
  return Object.fromEntries(Object.entries(cell).map(([key, signal]) => [key, { ...signal }]));
}
