/** Solves the dense system `rows x = right` by elimination with row pivoting; overwrites both, returns `right`. */
export const solveDense = (rows: Float64Array[], right: Float64Array): Float64Array => {
  const n = rows.length;
  for (let k = 0; k < n; k++) {
    bringPivotUp(rows, right, k);
    const pivotRow = rows[k]!;
    const pivot = pivotRow[k]!;
    if (!(Math.abs(pivot) > 0)) throw new RangeError(`the system is singular in column ${k}`);
    for (let i = k + 1; i < n; i++) {
      const row = rows[i]!;
      const factor = row[k]! / pivot;
      if (factor === 0) continue;
      for (let j = k + 1; j < n; j++) row[j] = row[j]! - factor * pivotRow[j]!;
      right[i] = right[i]! - factor * right[k]!;
    }
  }
  for (let k = n - 1; k >= 0; k--) {
    const row = rows[k]!;
    let sum = right[k]!;
    for (let j = k + 1; j < n; j++) sum -= row[j]! * right[j]!;
    right[k] = sum / row[k]!;
  }
  return right;
};

const bringPivotUp = (rows: Float64Array[], right: Float64Array, k: number): void => {
  let best = k;
  for (let i = k + 1; i < rows.length; i++) {
    if (Math.abs(rows[i]![k]!) > Math.abs(rows[best]![k]!)) best = i;
  }
  [rows[k], rows[best]] = [rows[best]!, rows[k]!];
  [right[k], right[best]] = [right[best]!, right[k]!];
};
