/** Event-time grid on which derived indicators step, ms. */
export const gridMs = 1000;

/** How long a station's time goes on cell by cell without any reading before the rest of a silence is skipped, cells. */
const cellsOfSilence = 120;

/** The cell that an event time lies in. */
export function cellIndex(atMs: number): number {
  return Math.floor(atMs / gridMs);
}

/** The end of a cell: the event time of its assessment. */
export function cellEndMs(index: number): number {
  return (index + 1) * gridMs;
}

/** The last cell that ends, with the allowance for late readings, at or before the station's time. */
export function lastDueCell(watermarkMs: number, latenessMs: number): number {
  return cellIndex(watermarkMs - latenessMs) - 1;
}

/**
 * The cells to close now, in order: all that end, with the allowance for late readings, at or before the station's time. A long silence is not
 * walked through second by second: after two minutes of it only cells with readings and the last cell are closed, which gives the same alarms
 * as long as no delay is longer than those two minutes and is exact for delays by their own deadlines.
 */
export function dueCells(args: {
  readonly closed: number | null;
  readonly open: readonly number[];
  readonly watermarkMs: number;
  readonly latenessMs: number;
}): number[] {
  const last = lastDueCell(args.watermarkMs, args.latenessMs);
  const first = args.closed === null ? Math.min(last, ...args.open) : args.closed + 1;
  if (first > last) return [];
  const due = new Set<number>(args.open.filter((index) => index <= last));
  due.add(last);
  for (const from of [first - 1, ...due]) {
    for (let index = from + 1; index <= Math.min(from + cellsOfSilence, last); index += 1) due.add(index);
  }
  return [...due].filter((index) => index >= first).sort((a, b) => a - b);
}
