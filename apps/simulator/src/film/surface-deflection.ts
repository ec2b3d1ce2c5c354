import { naturalLog, PI } from '../math/portable-math.js';

/**
 * Deflection of an elastic half space under line pressure, `-(1/pi) int P(S) ln|X - S| dS`, as a matrix: row i gives the
 * deflection at point i for pressures at all points, linear between them (the logarithm is integrated exactly).
 * Lengths in half widths, pressures over the dry peak pressure, deflections over `b^2/R` (Johnson 1985, section 2.3).
 */
export function surfaceDeflection(x: Float64Array): Float64Array {
  const n = x.length;
  const matrix = new Float64Array(n * n);
  for (let i = 0; i < n; i += 1) {
    for (let k = 0; k + 1 < n; k += 1) {
      const [onLeft, onRight] = elementShare(x[i] as number, x[k] as number, x[k + 1] as number);
      matrix[i * n + k] = (matrix[i * n + k] as number) - onLeft / PI;
      matrix[i * n + k + 1] = (matrix[i * n + k + 1] as number) - onRight / PI;
    }
  }
  return matrix;
}

/** Integral of the two hat functions of one element times ln|at - s|. */
function elementShare(at: number, left: number, right: number): readonly [number, number] {
  const length = right - left;
  const a = left - at;
  const b = right - at;
  const zeroth = b * logOf(b) - b - (a * logOf(a) - a);
  const first = (b * b * logOf(b)) / 2 - (b * b) / 4 - ((a * a * logOf(a)) / 2 - (a * a) / 4);
  const onRight = (first - a * zeroth) / length;
  return [zeroth - onRight, onRight];
}

function logOf(s: number): number {
  return s === 0 ? 0 : naturalLog(Math.abs(s));
}
