import type { Cell } from './cell.js';
import type { Latest } from './inputs.js';

/** The latest values after a cell: what the next assessment goes by. */
export function latestAfter(
  latest: Readonly<Record<string, Latest>>,
  cell: Cell,
): Readonly<Record<string, Latest>> {
  const after: Record<string, Latest> = { ...latest };
  for (const key of Object.keys(cell)) {
    const [signal, before] = [cell[key], after[key]];
    if (signal === undefined || (before !== undefined && signal.atMs < before.atMs)) continue;
    after[key] = { atMs: signal.atMs, value: signal.value, uncertainty: signal.uncertainty };
  }
  return after;
}
