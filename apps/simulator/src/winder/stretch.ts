/** What one sample period does to the winding roll's turning: everything that repeats is told from here. */
export interface Stretch {
  readonly durationS: number;
  readonly fromS: number;
  readonly speedMPerS: { readonly from: number; readonly to: number };
  /** Turns of the winding roll since its core. */
  readonly turns: { readonly from: number; readonly to: number };
  /** Web wound by this station since the start of the run. */
  readonly lengthM: { readonly from: number; readonly to: number };
}

/** Share of the stretch's web that has passed at `share` of its time; the speed changes evenly. */
export function lengthShare({ speedMPerS: v }: Stretch, share: number): number {
  const sum = v.from + v.to;
  return sum <= 0 ? share : (2 * v.from * share + (v.to - v.from) * share * share) / sum;
}
