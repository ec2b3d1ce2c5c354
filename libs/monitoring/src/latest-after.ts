import type { Cell } from './cell.js';
import type { Latest } from './inputs.js';

/** The latest values after a cell: what the next assessment goes by. */
export function latestAfter(
  latest: Readonly<Record<string, Latest>>,
  cell: Cell,
): Readonly<Record<string, Latest>> {
  const after: Record<string, Latest> = { ...latest };
  for (const [key, { atMs, value, uncertainty }] of Object.entries(cell)) {
    const before = after[key];
    if (before === undefined || atMs >= before.atMs) after[key] = { atMs, value, uncertainty };
  }
  return after;
}
