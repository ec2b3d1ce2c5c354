import { type RowColumns, roomFor, writeRow } from './batch-format.mjs';

/** Rows that follow one another, ready for the writer. */
export interface Batch {
  readonly first: number;
  readonly count: number;
  readonly bytes: Uint8Array<ArrayBuffer>;
  readonly firstArrivedAtMs: number;
  readonly lastArrivedAtMs: number;
}

/** What is not on disk yet and not with the writer, in order. */
export interface PendingBatches {
  readonly add: (position: number, columns: RowColumns) => void;
  /** Takes the next batch out: everything pending, or its first part where that is a lot. */
  readonly take: () => Batch | undefined;
  readonly rows: () => number;
  readonly bytes: () => number;
}

const startBytes = 64 * 1024;
/** A batch is one transaction; a larger one only delays the first acknowledgement. */
const batchMaxBytes = 4 * 1024 * 1024;

/** Collects rows into batches. */
export function collectBatches(): PendingBatches {
  const full: Batch[] = [];
  let fullBytes = 0;
  let rows = 0;
  let buffer = Buffer.allocUnsafeSlow(startBytes);
  let used = 0;
  let first = 0;
  let count = 0;
  let firstArrivedAtMs = 0;
  let lastArrivedAtMs = 0;

  function makeRoom(bytes: number): void {
    if (used + bytes <= buffer.length) return;
    const larger = Buffer.allocUnsafeSlow(Math.max(2 * buffer.length, used + bytes));
    buffer.copy(larger, 0, 0, used);
    buffer = larger;
  }

  function seal(): Batch | undefined {
    if (count === 0) return undefined;
    // A copy of exactly these bytes: posting a view would clone the whole buffer under it.
    const bytes = new Uint8Array(buffer.subarray(0, used));
    const batch = { first, count, bytes, firstArrivedAtMs, lastArrivedAtMs };
    used = 0;
    count = 0;
    if (buffer.length > 2 * batchMaxBytes) buffer = Buffer.allocUnsafeSlow(startBytes);
    return batch;
  }

  return {
    add: (position, columns) => {
      makeRoom(roomFor(columns));
      used = writeRow(buffer, used, columns);
      if (count === 0) {
        first = position;
        firstArrivedAtMs = columns.arrivedAtMs;
      }
      count += 1;
      rows += 1;
      lastArrivedAtMs = columns.arrivedAtMs;
      if (used < batchMaxBytes) return;
      const batch = seal();
      if (batch === undefined) return;
      full.push(batch);
      fullBytes += batch.bytes.length;
    },
    take: () => {
      const whole = full.shift();
      const batch = whole ?? seal();
      rows -= batch?.count ?? 0;
      fullBytes -= whole?.bytes.length ?? 0;
      return batch;
    },
    rows: () => rows,
    bytes: () => fullBytes + used,
  };
}
