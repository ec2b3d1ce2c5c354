import { exponential } from '../math/portable-math.js';
import { resumeStream, type StreamState } from '../random/random-stream.js';
import type { Pair } from './ends.js';
import type { SurfaceNoise } from './surface-motion.js';

/** Small irregular motion of the surface: white noise through two equal first-order lags, so that its velocity is smooth. */
export interface SurfaceNoiseState {
  readonly inner: Pair;
  readonly outer: Pair;
  readonly stream: StreamState;
}

export function advanceSurfaceNoise(
  state: SurfaceNoiseState,
  { rms, timeS }: { readonly rms: number; readonly timeS: number },
  steps: number,
  timeStepS: number,
): { readonly state: SurfaceNoiseState; readonly noise: SurfaceNoise } {
  const empty = (): Float64Array => new Float64Array(steps + 1);
  const noise: SurfaceNoise = { positionM: [empty(), empty()], velocityMPerS: [empty(), empty()] };
  if (rms === 0) return { state, noise };
  const keep = exponential(-timeStepS / timeS);
  const push = rms * Math.SQRT2 * Math.sqrt(1 - keep * keep); // the second lag halves the variance
  const stream = resumeStream(state.stream);
  const inner = [...state.inner] as [number, number];
  const outer = [...state.outer] as [number, number];
  for (let step = 0; step <= steps; step += 1) {
    for (const end of [0, 1] as const) {
      if (step > 0) {
        outer[end] += (inner[end] - outer[end]) * (1 - keep);
        inner[end] = inner[end] * keep + push * stream.normal();
      }
      noise.positionM[end][step] = outer[end];
      noise.velocityMPerS[end][step] = (inner[end] - outer[end]) / timeS;
    }
  }
  return { state: { inner, outer, stream: stream.state() }, noise };
}
