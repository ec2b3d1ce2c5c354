import type { RandomStream } from '../random/random-stream.js';

/** What is read off an instrument with normal error and steps: `quantum x round((value + error)/quantum)`. */
export function reading(
  value: number,
  instrument: { readonly error: number; readonly quantum: number },
  stream: RandomStream,
): number {
  const read = value + instrument.error * stream.normal();
  const stepped = instrument.quantum > 0 ? Math.round(read / instrument.quantum) * instrument.quantum : read;
  return Number(stepped.toPrecision(9));
}
