import { naturalLog } from '../math/portable-math.js';

/** State of a random stream: four 32-bit words, plain data, so that a simulation's state can be stored and resumed. */
export type StreamState = readonly [number, number, number, number];

/** Draws from one stream. Mutable inside one step only; `state()` hands the stream on to the next step. */
export interface RandomStream {
  /** Next 32 random bits, 0 to 2^32 - 1. */
  readonly bits: () => number;
  /** Uniform in [0, 1), 53 bits. */
  readonly uniform: () => number;
  /** Normal with mean 0 and standard deviation 1. */
  readonly normal: () => number;
  readonly state: () => StreamState;
}

/**
 * A stream that goes on from `start`.
 *
 * Generator: xoshiro128** 1.1 (Blackman & Vigna 2018, "Scrambled linear pseudorandom number generators"), integer
 * operations only. Normal deviates: polar method (Marsaglia & Bray 1964) with a logarithm of our own; the second deviate
 * of each pair is dropped, so that the state is the four words and nothing else.
 */
export function resumeStream(start: StreamState): RandomStream {
  let [a, b, c, d] = start;
  const bits = (): number => {
    const result = Math.imul(rotateLeft(Math.imul(b, 5), 7), 9) >>> 0;
    const t = b << 9;
    c ^= a;
    d ^= b;
    b ^= c;
    a ^= d;
    c ^= t;
    d = rotateLeft(d, 11);
    return result;
  };
  const uniform = (): number => ((bits() >>> 5) * 67108864 + (bits() >>> 6)) / 9007199254740992;
  return {
    bits,
    uniform,
    normal: () => polarNormal(uniform),
    state: () => [a >>> 0, b >>> 0, c >>> 0, d >>> 0],
  };
}

function polarNormal(uniform: () => number): number {
  for (;;) {
    const x = 2 * uniform() - 1;
    const y = 2 * uniform() - 1;
    const s = x * x + y * y;
    if (s > 0 && s < 1) return x * Math.sqrt((-2 * naturalLog(s)) / s);
  }
}

function rotateLeft(word: number, by: number): number {
  return (word << by) | (word >>> (32 - by));
}
