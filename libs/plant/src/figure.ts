/** A number for people, four digits: 1e-6 rather than 0.000001, 5e11 rather than 500000000000. */
export function figure(x: number): string {
  const rounded = Number(x.toPrecision(4));
  const small = Math.abs(rounded) < 1e-3 || Math.abs(rounded) >= 1e5;
  return rounded !== 0 && small ? rounded.toExponential().replace('+', '') : String(rounded);
}
