/**
 * Solves the dense system A x = b by Gaussian elimination with row pivoting; A (row by row, n x n) and b are overwritten.
 * @returns x, which is b
 */
export function solveLinear(a: Float64Array, b: Float64Array): Float64Array {
  const n = b.length;
  for (let column = 0; column < n; column += 1) {
    bringUpPivot(a, b, column);
    const top = a.subarray(column * n, (column + 1) * n);
    const pivot = top[column] as number;
    for (let row = column + 1; row < n; row += 1) {
      const line = a.subarray(row * n, (row + 1) * n);
      const factor = (line[column] as number) / pivot;
      if (factor === 0) continue;
      for (let k = column + 1; k < n; k += 1) line[k] = (line[k] as number) - factor * (top[k] as number);
      b[row] = (b[row] as number) - factor * (b[column] as number);
    }
  }
  return substituteBack(a, b);
}

function bringUpPivot(a: Float64Array, b: Float64Array, column: number): void {
  const n = b.length;
  let best = column;
  for (let row = column + 1; row < n; row += 1) {
    if (Math.abs(a[row * n + column] as number) > Math.abs(a[best * n + column] as number)) best = row;
  }
  if (best === column) return;
  const kept = a.slice(column * n, (column + 1) * n);
  a.copyWithin(column * n, best * n, (best + 1) * n);
  a.set(kept, best * n);
  const keptB = b[column] as number;
  b[column] = b[best] as number;
  b[best] = keptB;
}

function substituteBack(a: Float64Array, b: Float64Array): Float64Array {
  const n = b.length;
  for (let row = n - 1; row >= 0; row -= 1) {
    let sum = b[row] as number;
    for (let k = row + 1; k < n; k += 1) sum -= (a[row * n + k] as number) * (b[k] as number);
    b[row] = sum / (a[row * n + row] as number);
  }
  return b;
}
