import { naturalLog, power } from '../math/portable-math.js';

/**
 * Mesh points for the nip problem, in half widths of the dry contact: dense where film and pressure turn sharply, at the
 * two edges of the contact (-1 and 1), over a length that goes with `speedNumber^0.4`; wider altogether for thick films.
 */
export function gradedMesh(speedNumber: number, intervals: number): Float64Array {
  const turn = power(speedNumber, 0.4);
  const left = -2.5 - 6 * turn;
  const right = 2 + 2 * turn;
  const width = Math.min(0.3, Math.max(0.02, 0.5 * turn));
  const crowd = (x: number): number =>
    x + 0.7 * signedLog((x + 1) / width) + 0.35 * signedLog((x - 1) / width);
  const from = crowd(left);
  const to = crowd(right);
  return Float64Array.from({ length: intervals + 1 }, (_, i) => {
    if (i === 0) return left;
    if (i === intervals) return right;
    return pointWhere(crowd, from + ((to - from) * i) / intervals, left, right);
  });
}

function signedLog(x: number): number {
  return x < 0 ? -naturalLog(1 - x) : naturalLog(1 + x);
}

function pointWhere(rising: (x: number) => number, value: number, left: number, right: number): number {
  let low = left;
  let high = right;
  for (let n = 0; n < 60; n += 1) {
    const middle = (low + high) / 2;
    if (rising(middle) < value) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
