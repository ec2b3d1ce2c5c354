/** Round numbers (1, 2 or 5 times a power of ten) from `low` to `high`, about `count` of them. */
export function axisSteps(low: number, high: number, count: number): readonly number[] {
  if (!(high > low)) throw new RangeError(`high: above ${low} is needed, got ${high}`);
  const raw = (high - low) / count;
  // The exponent as the number itself writes it: exact on every engine.
  const ten = Number(`1e${raw.toExponential().split('e')[1] ?? '0'}`);
  const step = ten * ([1, 2, 5].find((one) => one * ten >= raw * 0.999) ?? 10);
  const first = Math.ceil(low / step - 1e-9);
  const last = Math.floor(high / step + 1e-9);
  return Array.from({ length: last - first + 1 }, (_, i) => Number(((first + i) * step).toPrecision(12)));
}
