import { join } from 'node:path';

/** One file of the journal, as far as it is on disk. */
export interface Segment {
  readonly file: string;
  readonly first: number;
  readonly last: number;
  readonly bytes: number;
  readonly firstArrivedAtMs: number;
  readonly lastArrivedAtMs: number;
}

const namePattern = /^journal-(\d{16})\.sqlite$/;

/** Path of the segment that begins with a position. */
export function segmentFile(directory: string, first: number): string {
  return join(directory, `journal-${String(first).padStart(16, '0')}.sqlite`);
}

/** First position of a segment by its file name, or undefined where the name is not a segment's. */
export function firstByName(name: string): number | undefined {
  const digits = namePattern.exec(name)?.[1];
  return digits === undefined ? undefined : Number(digits);
}
