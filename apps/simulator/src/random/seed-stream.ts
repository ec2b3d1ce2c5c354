import type { StreamState } from './random-stream.js';

/**
 * First state of the stream called `name` in the run with this `seed`.
 *
 * Every purpose (each sensor, each disturbance) draws from a stream of its own, so adding one does not change the others.
 * The name is hashed with FNV-1a (Fowler, Noll & Vo), the words come from a counter through the 32-bit finalizer of
 * MurmurHash3 (Appleby, public domain).
 * @param seed whole number, 0 to 2^32 - 1
 */
export function seedStream(seed: number, name: string): StreamState {
  if (!Number.isInteger(seed) || seed < 0 || seed > 0xffffffff) {
    throw new RangeError(`seed: a whole number from 0 to 4294967295 is needed, got ${seed}`);
  }
  let counter = mixed(seed) ^ hashOf(name);
  const word = (): number => {
    counter = (counter + 0x9e3779b9) | 0;
    return mixed(counter);
  };
  const words = [word(), word(), word(), word()] as const;
  return words.every((w) => w === 0) ? [1, 2, 3, 4] : words;
}

function hashOf(name: string): number {
  let hash = 0x811c9dc5;
  for (const byte of new TextEncoder().encode(name)) hash = Math.imul(hash ^ byte, 0x01000193);
  return hash;
}

function mixed(word: number): number {
  let h = word;
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return (h ^ (h >>> 16)) >>> 0;
}
