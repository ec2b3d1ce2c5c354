/** The value below which a share of the values lies, by rank. */
export function quantile(values, share) {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))];
}

export const median = (values) => quantile(values, 0.5);

/** Three significant digits. */
export const round = (value) => Number(value.toPrecision(3));
