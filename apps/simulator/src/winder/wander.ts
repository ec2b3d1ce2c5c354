import { exponential } from '../math/portable-math.js';
import { resumeStream, type StreamState } from '../random/random-stream.js';

/** A wandering disturbance: normal, mean 0, first-order correlation (exact for any time step). */
export interface Wander {
  readonly value: number;
  readonly stream: StreamState;
}

export interface Wandering {
  readonly rms: number;
  readonly timeS: number;
}

/** Begins somewhere in its steady spread. */
export function beginWander({ rms }: Wandering, seed: StreamState): Wander {
  const stream = resumeStream(seed);
  return { value: rms * stream.normal(), stream: stream.state() };
}

export function advanceWander(from: Wander, { rms, timeS }: Wandering, durationS: number): Wander {
  if (rms === 0) return from.value === 0 ? from : { ...from, value: 0 };
  const keep = exponential(-durationS / timeS);
  const stream = resumeStream(from.stream);
  const value = from.value * keep + rms * Math.sqrt(1 - keep * keep) * stream.normal();
  return { value, stream: stream.state() };
}
