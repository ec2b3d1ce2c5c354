/** Four neighbouring points of an axis and their weights in the cubic through them (Lagrange), for a value inside the axis. */
export interface CubicPlace {
  readonly first: number;
  readonly weights: readonly [number, number, number, number];
}

/** Where `value` lies on a rising axis of at least four points; values outside are moved to the nearest end. */
export function cubicPlace(axis: readonly number[], value: number): CubicPlace {
  const last = axis.length - 1;
  const x = Math.min(axis[last] as number, Math.max(axis[0] as number, value));
  let right = 1;
  while (right < last && (axis[right] as number) < x) right += 1;
  const first = Math.min(last - 3, Math.max(0, right - 2));
  const weight = (k: number): number => {
    let product = 1;
    for (let j = 0; j < 4; j += 1) {
      const other = axis[first + j] as number;
      if (j !== k) product *= (x - other) / ((axis[first + k] as number) - other);
    }
    return product;
  };
  return { first, weights: [weight(0), weight(1), weight(2), weight(3)] };
}
