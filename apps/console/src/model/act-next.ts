import type { FloorRow } from './floor-words.js';

/** Who acts next, in order of time, then who is not watched. The rows themselves never move. */
export interface ActNext {
  readonly act: readonly FloorRow[];
  readonly notWatched: readonly FloorRow[];
}

/** Low priority is left to its row. A boundary that no alarm has announced yet is named all the same. */
export function actNext(rows: readonly FloorRow[]): ActNext {
  const calling = rows.filter((row) => row.act !== null && row.level !== 'low');
  return {
    act: calling
      .map((row, place) => ({ row, place }))
      .sort(byTimeThenPlace)
      .map(({ row }) => row),
    notWatched: rows.filter((row) => row.level === 'unwatched'),
  };
}

interface Placed {
  readonly row: FloorRow;
  readonly place: number;
}

function byTimeThenPlace(a: Placed, b: Placed): number {
  return dueMs(a.row) - dueMs(b.row) || a.place - b.place;
}

/** `now` comes before every time. */
function dueMs({ act }: FloorRow): number {
  return act?.kind === 'at' ? act.atMs : 0;
}
