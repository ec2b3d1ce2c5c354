import type { Knife } from './strip-plan.js';

const CELL_M = 0.05; // the cut error keeps its value over so much web

/**
 * Irregular error of a cut at a place of the web: normal in good approximation (sum of four uniform numbers), told by the
 * place alone, so that the two edges that one knife cuts have one error, whenever and wherever each is wound.
 */
export function cutNoiseM(knife: Knife, seed: number, lengthM: number): number {
  const rmsM = knife.cutNoiseM + (knife.wearMPerKm * lengthM) / 1000;
  if (rmsM === 0) return 0;
  let word =
    Math.imul(Math.floor(lengthM / CELL_M) + 1, 0x9e3779b1) ^ Math.imul(knife.number + 1, 0x85ebca6b) ^ seed;
  let sum = 0;
  for (let n = 0; n < 4; n += 1) {
    word = mixed((word + 0x6d2b79f5) | 0);
    sum += (word >>> 0) / 4294967296;
  }
  return rmsM * (sum - 2) * Math.sqrt(3);
}

function mixed(word: number): number {
  let h = word;
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return h ^ (h >>> 16);
}
